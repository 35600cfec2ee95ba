// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/price_book.h"
#include "inventory/calendar.h"
#include "inventory/part.h"
#include "inventory/shop_file.h"

#include <cstdint>
#include <ostream>
#include <string>
#include <vector>

namespace shimledger::services {

/// One part in one bin and condition, with its price when the day was over.
struct ValuedLot {
    std::string bin;
    std::string cabinet; ///< that the bin was in then
    std::string part;
    std::string what;
    std::string kind; ///< for people: "shim"
    std::string unit;
    inventory::Condition condition = inventory::Condition::fresh;
    std::int64_t quantity = 0;
    PartPrice price;

    [[nodiscard]] inventory::Hundredths amount() const { return price.of(quantity); }
};

struct ValueSum {
    std::string name; ///< of the kind or the cabinet; "" for bins without a cabinet
    std::int64_t lots = 0;
    Money amount;
};

/// What the stock was worth when a day was over.
struct StockValue {
    inventory::CalendarDate day;
    inventory::UtcTime made;
    std::vector<ValuedLot> lots; ///< in walking order
    std::vector<ValueSum> by_kind;
    std::vector<ValueSum> by_cabinet;
    Money total;
    Money of_offers;                   ///< that part of it which no order has paid
    std::vector<std::string> unpriced; ///< parts of which there is no price at all
    std::vector<std::string> method;   ///< how the amounts are made
};

/// By the ledger and by prices as they stood then. Throws InputError for a day that is yet to come.
[[nodiscard]] StockValue stockValue(inventory::ShopFile& shop, inventory::CalendarDate day);

/// What is to be known beside the sums: offers in place of prices paid, parts without a price.
[[nodiscard]] std::vector<std::string> valueNotes(const StockValue& value);

/// RFC 4180: day, cabinet, bin, part, what, kind, condition, quantity, unit, pack_price, pack_size, currency,
/// amount, price_from, supplier, price_day.
void writeValueCsv(const StockValue& value, std::ostream& out);

} // namespace shimledger::services
