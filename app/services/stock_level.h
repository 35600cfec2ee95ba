// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/shop_file.h"

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::services {

/// How a part stands against what is asked of it. The drawers mark parts by this and the reorder plan buys by
/// it, so that the two cannot tell different stories.
struct StockLevel {
    std::int64_t available = 0; ///< on hand less reserved
    std::int64_t on_order = 0;
    std::int64_t short_for_jobs = 0;           ///< what open jobs want and the drawers cannot give
    std::vector<std::string> jobs{};           ///< that want it and hold nothing yet, the more urgent first
    std::optional<std::int64_t> reorder_point; ///< of the ledger's demand, else the catalogue's; none: not
                                               ///< kept in stock
    /// At the reorder point or below once open jobs have had theirs. What is on order is not in the drawers
    /// yet, so it does not count here; the plan does count it, and does not order twice.
    bool low = false;
    std::string why{}; ///< "1 short for JOB-1004, available 2, reserved 4, reorder point 6"

    bool operator==(const StockLevel&) const = default;
};

/// By part code, of every part. Reads the demand of the whole ledger (on a million movements: 0.7 s), so
/// hold what it gives, and ask again off the thread that people wait for.
[[nodiscard]] std::map<std::string, StockLevel> stockLevels(inventory::ShopFile& shop);

} // namespace shimledger::services
