// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/price_book.h"
#include "inventory/calendar.h"
#include "inventory/part.h"
#include "inventory/shop_file.h"

#include <cstdint>
#include <ostream>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// Some pieces that went into a job, or were thrown away for it, at one price.
struct CostLine {
    inventory::CalendarDate day; ///< of the pull
    std::string part;
    std::string what;
    std::string unit; ///< "piece", "mm", "ml"
    inventory::Condition condition = inventory::Condition::fresh;
    bool scrapped = false; ///< bent, lost or the like, and not built in
    std::int64_t quantity = 0;
    PartPrice price; ///< as it stood when they were pulled

    [[nodiscard]] inventory::Hundredths amount() const { return price.of(quantity); }
};

/// What a job used, with what it cost.
struct JobCosts {
    std::string job;
    std::string model;
    inventory::UtcTime made;
    std::vector<CostLine> lines; ///< by day and part
    Money total;
    std::vector<std::string> notes;  ///< parts without a price, offers in place of prices paid
    std::vector<std::string> method; ///< how the amounts are made
};

/// From the ledger: what was issued to the job and has not come back, and what was scrapped for it, whatever
/// became of the job. Throws InputError when there is no such job.
[[nodiscard]] JobCosts jobCosts(inventory::ShopFile& shop, std::string_view job);

/// RFC 4180: job, day, part, what, condition, use, quantity, unit, pack_price, pack_size, currency, amount,
/// price_from, supplier, price_day.
void writeCostsCsv(const JobCosts& costs, std::ostream& out);

} // namespace shimledger::services
