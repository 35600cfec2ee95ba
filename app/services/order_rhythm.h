// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/demand_book.h"
#include "app/services/usable_offers.h"
#include "inventory/calendar.h"
#include "inventory/money.h"

#include <map>
#include <optional>
#include <string>

namespace shimledger::services {

/// How often somebody orders from one supplier, all its parts together, so that they share the freight.
struct OrderRhythm {
    std::string supplier;
    std::string currency;
    int review_days = 7;       ///< chosen
    int usual_review_days = 7; ///< of the parts' classes: as often as somebody looks
    double orders_a_year = 0;  ///< expected, chosen
    double usual_orders_a_year = 0;
    inventory::Hundredths yearly_cost = 0;       ///< freight, lines, keeping, stopped jobs: expected, chosen
    inventory::Hundredths usual_yearly_cost = 0; ///< the same, looked at as often as somebody looks
    int parts = 0;                               ///< kept from this supplier
    std::optional<inventory::CalendarDate> last_order, next_order; ///< next: none is today

    [[nodiscard]] inventory::Hundredths saving() const { return usual_yearly_cost - yearly_cost; }
    [[nodiscard]] bool today() const { return !next_order; }
};

/// For each supplier that parts are usually bought from, the cheapest of 1, 2, 4 and 8 times the usual review
/// period (a power-of-two policy: Roundy 1985; Jackson, Maxwell and Muckstadt 1985; from memory), each part
/// with the reorder point that keeps its promise under it. Freight counts by the chance that any part orders.
/// A supplier is not due again before that period has passed since the last order.
[[nodiscard]] std::map<std::string, OrderRhythm>
orderRhythms(const ReorderInputs& inputs, const DemandBook& demand, const OfferBook& offers);

/// Whether the program keeps the part in stock at all: it has a reorder point of its own and is asked for.
[[nodiscard]] bool isKept(const inventory::Part& part, const DemandBook& demand);

} // namespace shimledger::services
