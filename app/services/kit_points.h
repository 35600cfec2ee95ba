// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/kit_plan.h"
#include "inventory/shop_file.h"

#include <cstdint>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace shimledger::services {

/// A part's reorder point, as it was when the plan was made and as the plan has it.
struct KitPoint {
    std::string part;
    std::optional<std::int64_t> seen, wanted;
};

/// Reorder points by which reordering keeps the plan's drawers: one below what is to be kept, as reordering
/// buys what has come down to its point until it is above; none for sizes that the plan does without, which
/// are bought for jobs alone. Parts whose point would stay as it is are left out.
[[nodiscard]] std::vector<KitPoint> kitPoints(const KitResult& kit);

/// What became of it.
struct KitPointsTold {
    std::vector<std::string> changed; ///< parts
    std::vector<std::string>
        left; ///< sentences on parts that somebody else has changed meanwhile, which stay
};

/// Sets them, all in one step, kept as changes of the parts under a mark of their own ("kit 3"). A part whose
/// point is not what the plan saw is left as it is, and told.
KitPointsTold setKitPoints(inventory::ShopFile& shop, const std::vector<KitPoint>& points);

/// Takes the last such step back that still stands: each part has the point that it had before, but for those
/// that were changed since, which stay and are told. Throws InputError where there is none.
KitPointsTold takeKitPointsBack(inventory::ShopFile& shop);

/// Parts whose reorder point was last set from a plan and not taken back: reordering goes by it, and not by
/// what it would reckon from that part's own demand, as others stand in for it and it for others.
[[nodiscard]] std::set<std::string> partsWithKitPoints(inventory::ShopFile& shop);

/// Whether there is a step to take back.
[[nodiscard]] bool hasKitPoints(inventory::ShopFile& shop);

} // namespace shimledger::services
