// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/keeping.h"

#include "planner/reorder/economic_order.h"

#include <algorithm>
#include <cmath>

namespace shimledger::services {

namespace {

constexpr double weeks_a_year = 52;

int wholePieces(double pieces) {
    return static_cast<int>(std::clamp(std::round(pieces), 1.0, 1e9));
}

} // namespace

Keeping keepingOf(const planner::DemandForecast& forecast, const inventory::Part& part,
                  const inventory::ReorderClass& settings, const inventory::SupplierPart& offer,
                  const inventory::Supplier& supplier, int review_days, int nearest_days,
                  inventory::Hundredths waiting_day, bool quick) {
    Keeping keeping;
    keeping.promised = settings.service_per_mille / 1000.0;
    const double yearly = forecast.mean() * weeks_a_year;
    const auto pack = static_cast<double>(offer.pack_size);
    std::vector<planner::PriceBreak> prices{{0, static_cast<double>(offer.pack_price) / pack}};
    for (const auto& step : offer.breaks) {
        prices.push_back(
            {static_cast<double>(step.from_packs) * pack, static_cast<double>(step.pack_price) / pack});
    }
    double economic = 1, price = prices.front().price;
    bool at_break = false;
    if (yearly > 0) {
        const planner::EconomicOrder order = planner::cheapestOrder(
            {yearly, static_cast<double>(settings.line_cost), settings.holding_percent / 100.0}, prices);
        economic = order.quantity;
        price = order.price;
        at_break = std::any_of(prices.begin() + 1, prices.end(),
                               [&](const auto& step) { return std::abs(step.from - economic) < 0.5; });
    }
    double longest = yearly / 12 * settings.cover_months;
    const bool ages = part.shelf_life_months && *part.shelf_life_months < settings.cover_months;
    if (ages) longest = yearly / 12 * *part.shelf_life_months;
    const double stopped = static_cast<double>(waiting_day) * std::max(1, nearest_days);
    const planner::ShelfCosts costs{static_cast<double>(settings.line_cost),
                                    price * settings.holding_percent / 100.0 / weeks_a_year, stopped};
    const planner::ShelfService service(
        forecast,
        planner::leadTimeChances({static_cast<double>(supplier.lead_time_days),
                                  static_cast<double>(supplier.lead_time_spread_days.value_or(0)), 0},
                                 7),
        review_days / 7.0);
    keeping.policy = planner::shelfPolicy(service, forecast.jobs, keeping.promised, costs,
                                          std::max(1.0, economic), wholePieces(longest), at_break || quick);
    // Without a price on waiting, what is asked for less than once a year is bought when a job wants it.
    keeping.worth_it = waiting_day > 0 ? keeping.policy.cost <= stopped * forecast.jobs : yearly >= 1;
    if (keeping.policy.lot > 1) {
        if (longest < economic && keeping.policy.lot >= wholePieces(longest)) {
            keeping.lot_why =
                ages ? "what is used within its shelf life"
                     : "demand of " + std::to_string(settings.cover_months) + " months, the longest cover";
        } else {
            keeping.lot_why = at_break ? "the economic order, at a price break" : "the economic order";
        }
    }
    return keeping;
}

} // namespace shimledger::services
