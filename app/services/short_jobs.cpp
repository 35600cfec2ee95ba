// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/short_jobs.h"

#include "inventory/stock_history.h"

namespace shimledger::services {

std::map<std::string, std::string> shortJobs(const inventory::ShopFile& shop, std::string_view job) {
    std::map<std::string, std::string> texts;
    for (const inventory::LostToCount& lost : inventory::StockHistory(shop).lostToCounts(job)) {
        std::string& text = texts[lost.job];
        text += (text.empty() ? "short since the count of " + lost.day.text() + ": " : std::string(", ")) +
                std::to_string(lost.quantity) + " of " + lost.part +
                (lost.condition == inventory::Condition::used ? " (used)" : "") + " in " + lost.bin;
    }
    return texts;
}

} // namespace shimledger::services
