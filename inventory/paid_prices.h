// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/calendar.h"
#include "inventory/money.h"
#include "inventory/shop_file.h"

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::inventory {

/// What a delivery of a part cost, by the line of the order that it answered.
struct PaidPrice {
    UtcTime received;
    std::optional<UtcTime> undone; ///< when the receipt was undone
    std::string order;
    std::string supplier;
    std::string currency;
    std::int64_t pack_size = 1;
    Hundredths pack_price = 0;

    bool operator==(const PaidPrice&) const = default;
};

/// Deliveries by part, each in the order in which they were booked. Prices are those of the order, which no
/// later change of an offer touches; freight is not in them.
[[nodiscard]] std::map<std::string, std::vector<PaidPrice>> paidPrices(const ShopFile& shop);

} // namespace shimledger::inventory
