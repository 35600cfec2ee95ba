// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/stock_level.h"

#include "app/services/reorder_need.h"

namespace shimledger::services {

std::map<std::string, StockLevel> stockLevels(inventory::ShopFile& shop) {
    const ReorderInputs inputs = readReorderInputs(shop);
    std::vector<std::string> notes; // of prices and lead times: the reorder plan tells them
    std::map<std::string, StockLevel> levels;
    for (PartNeed& need : partNeeds(inputs, notes)) {
        StockLevel level;
        level.available = need.line.available();
        level.on_order = need.line.on_order;
        level.short_for_jobs = need.line.short_for_jobs;
        if (const auto wanted = inputs.job_demand.find(need.line.part); wanted != inputs.job_demand.end()) {
            level.jobs = wanted->second.jobs();
        }
        if (need.kept) level.reorder_point = need.line.reorder_point;
        level.low = need.low;
        level.why = std::move(need.why);
        levels.emplace(need.line.part, std::move(level));
    }
    return levels;
}

} // namespace shimledger::services
