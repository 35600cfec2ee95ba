// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

namespace shimledger::planner {

/// All-units price: every piece costs `price` once at least `from` are bought at a time.
struct PriceBreak {
    double from = 0;  ///< pieces
    double price = 0; ///< money per piece, > 0
};

/// Yearly needs of one part; costs in one currency.
struct YearlyNeed {
    double pieces = 0;        ///< per year, > 0
    double order_cost = 0;    ///< per order, > 0
    double holding_share = 0; ///< of the price per year, > 0
};

struct EconomicOrder {
    double quantity = 0;
    double price = 0;
    double yearly_cost = 0; ///< parts, orders and holding
};

/// sqrt(2 D S / (i c)). Bad figures raise InputError, here and below.
[[nodiscard]] double economicQuantity(const YearlyNeed& need, double price);
/// Parts + orders + holding in a year when `quantity` > 0 is bought at a time at `price`.
[[nodiscard]] double yearlyCost(const YearlyNeed& need, double price, double quantity);
/// The cheapest quantity under all-units breaks, given in rising `from`; the first price holds below the
/// second.
[[nodiscard]] EconomicOrder cheapestOrder(const YearlyNeed& need, const std::vector<PriceBreak>& breaks);

} // namespace shimledger::planner
