// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/job_ask.h"

#include "inventory/job_book.h"
#include "inventory/stock_ledger.h"

namespace shimledger::services {

JobAsk jobAsk(inventory::ShopFile& shop, std::string_view code) {
    const inventory::JobBook book(shop);
    const inventory::Job job = book.get(code);
    JobAsk ask;
    if (const auto target = book.stack(code, inventory::StackRole::target)) ask.target = target->rows;
    ask.legs = job.legs;
    ask.valve = job.valve;
    ask.consumables = book.consumables(code);
    ask.held = !inventory::StockLedger(shop).reservationsOf(code).empty();
    ask.status = job.status;
    return ask;
}

std::string whatChanged(const JobAsk& before, const JobAsk& now) {
    if (now.held && !before.held) return "something was reserved for it meanwhile";
    if (now.target != before.target) return "its target has changed";
    if (now.legs != before.legs) return "its number of legs has changed";
    if (now.valve != before.valve) return "its valve has changed";
    if (now.consumables != before.consumables) return "its consumables have changed";
    if (now.status != before.status) return "it is " + std::string(jobStatusName(now.status)) + " by now";
    return {};
}

} // namespace shimledger::services
