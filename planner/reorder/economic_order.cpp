// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/reorder/economic_order.h"

#include "planner/units/input_error.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace shimledger::planner {

namespace {

void check(const YearlyNeed& need, double price) {
    if (!(need.pieces > 0 && need.order_cost > 0 && need.holding_share > 0)) {
        throw InputError("Yearly demand, cost per order and holding share must all be more than 0.");
    }
    if (!(price > 0)) {
        throw InputError("A price per piece is missing: it must be more than 0.");
    }
}

} // namespace

double economicQuantity(const YearlyNeed& need, double price) {
    check(need, price);
    return std::sqrt(2 * need.pieces * need.order_cost / (need.holding_share * price));
}

double yearlyCost(const YearlyNeed& need, double price, double quantity) {
    check(need, price);
    if (!(quantity > 0)) {
        throw InputError("An order quantity must be more than 0.");
    }
    return need.pieces * price + need.pieces / quantity * need.order_cost +
           quantity / 2 * need.holding_share * price;
}

EconomicOrder cheapestOrder(const YearlyNeed& need, const std::vector<PriceBreak>& breaks) {
    if (breaks.empty()) {
        throw InputError("A price per piece is missing: at least one price is needed.");
    }
    EconomicOrder best;
    for (std::size_t i = 0; i < breaks.size(); ++i) {
        if (i > 0 && !(breaks[i].from > breaks[i - 1].from)) {
            throw InputError("Price breaks must be given in rising quantities.");
        }
        const double quantity = std::max(economicQuantity(need, breaks[i].price), breaks[i].from);
        // Beyond the next break this price no longer holds; that break then has its own candidate.
        if (i + 1 < breaks.size() && quantity >= breaks[i + 1].from) {
            check(need, breaks[i + 1].price);
            if (breaks[i + 1].price <= breaks[i].price) {
                continue;
            }
            throw InputError("Price breaks must not get dearer with quantity.");
        }
        const double cost = yearlyCost(need, breaks[i].price, quantity);
        if (best.quantity == 0 || cost < best.yearly_cost) {
            best = {quantity, breaks[i].price, cost};
        }
    }
    return best;
}

} // namespace shimledger::planner
