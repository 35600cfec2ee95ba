// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/job.h"
#include "inventory/shop_file.h"

#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// All that a plan takes from the job itself. Where nothing of it has changed, an older plan is still one for
/// the job as it is.
struct JobAsk {
    std::vector<inventory::StackRow> target;
    int legs = 0;
    inventory::JobValve valve;
    std::vector<inventory::JobConsumable> consumables;
    bool held = false; ///< something is reserved for it already
    inventory::JobStatus status = inventory::JobStatus::open;
};

/// Throws InputError when there is no such job.
[[nodiscard]] JobAsk jobAsk(inventory::ShopFile& shop, std::string_view job);

/// "its target has changed"; empty where nothing has.
[[nodiscard]] std::string whatChanged(const JobAsk& before, const JobAsk& now);

} // namespace shimledger::services
