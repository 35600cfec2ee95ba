// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/job.h"
#include "inventory/shop_file.h"

#include <string_view>
#include <vector>

namespace shimledger::services {

/// What was found in one leg, to begin a target from: nominal sizes where the disc is identified, since those
/// are what lies in the drawers; else as it was measured.
struct FoundStack {
    int leg = 0; ///< the first leg that was stripped
    std::vector<inventory::StackRow> rows;
    bool legs_differ = false; ///< another leg had other discs
};

/// Throws InputError where no leg of the job has been stripped.
[[nodiscard]] FoundStack foundStack(inventory::ShopFile& shop, std::string_view job);

} // namespace shimledger::services
