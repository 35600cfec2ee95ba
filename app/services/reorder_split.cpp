#include "app/services/reorder_split.h"

#include "inventory/money.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

namespace shimledger::services {

namespace {

/// The needs of one currency as a problem, and what its indexes stand for.
struct CurrencyPlan {
    std::string currency;
    std::vector<const PartNeed*> parts;
    std::vector<const inventory::Supplier*> suppliers;
    std::vector<const inventory::SupplierPart*> offers;
    planner::OrderPlanProblem problem;
};

planner::PlanOffer planOffer(const inventory::SupplierPart& offer, int supplier, int part) {
    planner::PlanOffer planned{supplier, part, offer.pack_size, {{1, offer.pack_price}}};
    for (const auto& step : offer.breaks) planned.prices.push_back({step.from_packs, step.pack_price});
    return planned;
}

CurrencyPlan problemOf(const ReorderInputs& inputs, const std::vector<PartNeed>& needs,
                       const std::string& currency) {
    CurrencyPlan plan;
    plan.currency = currency;
    std::map<std::string, int> supplier_index;
    for (const PartNeed& need : needs) {
        if (need.line.wanted <= 0 || need.currency != currency) continue;
        const int part = static_cast<int>(plan.parts.size());
        plan.parts.push_back(&need);
        plan.problem.parts.push_back({need.line.wanted, need.most});
        for (const auto& offer : need.offers) {
            const auto [entry, is_new] =
                supplier_index.try_emplace(offer.supplier, static_cast<int>(plan.suppliers.size()));
            if (is_new) {
                const auto found = std::find_if(inputs.suppliers.begin(), inputs.suppliers.end(),
                                                [&](const auto& s) { return s.name == offer.supplier; });
                plan.suppliers.push_back(&*found);
                plan.problem.suppliers.push_back(
                    {std::max<std::int64_t>(0, found->freight.value_or(0)),
                     std::max<std::int64_t>(0, found->minimum_order.value_or(0))});
            }
            plan.offers.push_back(&offer);
            plan.problem.offers.push_back(planOffer(offer, entry->second, part));
        }
    }
    return plan;
}

std::string packText(std::int64_t pack_size) {
    return pack_size > 1 ? ", pack of " + std::to_string(pack_size) : "";
}

ReorderLine lineOf(const PartNeed& need, const inventory::SupplierPart& offer, std::int64_t packs) {
    ReorderLine line = need.line;
    line.supplier_code = offer.supplier_code;
    line.pack_size = offer.pack_size;
    line.packs = packs;
    line.pack_price = offer.pack_price;
    line.breaks = offer.breaks;
    line.priced_on = offer.priced_on;
    line.reason = need.why + packText(offer.pack_size);
    if (need.most && packs * offer.pack_size >= *need.most) line.reason += ", held back by shelf life";
    return line;
}

SupplierOrder& orderTo(ReorderPlan& plan, const inventory::Supplier& supplier) {
    for (SupplierOrder& order : plan.orders) {
        if (order.supplier.name == supplier.name) return order;
    }
    plan.orders.push_back({supplier, {}});
    return plan.orders.back();
}

PlanQuality qualityOf(const planner::OrderPlan& solved, const std::string& currency) {
    PlanQuality quality{currency, solved.method, solved.cost.total(), solved.gap(), {}};
    const std::string cost = inventory::moneyText(quality.cost) + " " + currency + " with freight";
    if (quality.gap == 0) {
        quality.sentence = "Least cost, proved: " + cost;
    } else if (solved.method == planner::PlanMethod::solver) {
        quality.sentence = fmt::format("{}; at most {:.1f} % could be saved", cost, 100 * quality.gap);
    } else {
        quality.sentence = fmt::format("{}, by the rule of the cheapest offers (gap at most {:.1f} %), as {}",
                                       cost, 100 * quality.gap, solved.why_rule);
    }
    if (solved.cost.below_minimum > 0) {
        quality.sentence += "; of it " + inventory::moneyText(solved.cost.below_minimum) +
                            " that orders lack of their minimum";
    }
    return quality;
}

void solveCurrency(const ReorderInputs& inputs, const std::vector<PartNeed>& needs,
                   const std::string& currency, const OrderSolver& solver, ReorderPlan& plan) {
    const CurrencyPlan question = problemOf(inputs, needs, currency);
    const planner::OrderPlan solved = solveOrderPlan(question.problem, solver);
    for (std::size_t i = 0; i < solved.packs.size(); ++i) {
        if (solved.packs[i] == 0) continue;
        const planner::PlanOffer& offer = question.problem.offers[i];
        const PartNeed& need = *question.parts[static_cast<std::size_t>(offer.part)];
        orderTo(plan, *question.suppliers[static_cast<std::size_t>(offer.supplier)])
            .lines.push_back(lineOf(need, *question.offers[i], solved.packs[i]));
    }
    plan.quality.push_back(qualityOf(solved, currency));
}

/// The part of this supplier with the shortest cover that can still take a pack of the smallest size.
void fillToMinimum(const std::vector<PartNeed>& needs, SupplierOrder& order) {
    std::map<std::string, std::int64_t> extra; // pieces beyond what is wanted, by part
    for (const ReorderLine& line : order.lines) extra[line.part] += line.pieces() - line.wanted;
    const inventory::Hundredths minimum = order.supplier.minimum_order.value_or(0);
    while (order.total() < minimum) {
        const PartNeed* next = nullptr;
        const inventory::SupplierPart* offer = nullptr;
        double weeks = 0;
        for (const PartNeed& need : needs) {
            if (need.room <= 0 || !(need.line.weekly_demand > 0)) continue;
            const auto from = std::find_if(need.offers.begin(), need.offers.end(),
                                           [&](const auto& o) { return o.supplier == order.supplier.name; });
            const auto taken = extra.find(need.line.part);
            const std::int64_t already = taken == extra.end() ? 0 : std::max<std::int64_t>(0, taken->second);
            if (from == need.offers.end() || already + from->pack_size > need.room) continue;
            const double covered = need.weeks_covered +
                                   static_cast<double>(need.line.wanted + already) / need.line.weekly_demand;
            if (next != nullptr && covered >= weeks) continue;
            next = &need;
            offer = &*from;
            weeks = covered;
        }
        if (next == nullptr) return;
        extra[next->line.part] += offer->pack_size;
        const auto same = std::find_if(order.lines.begin(), order.lines.end(), [&](const ReorderLine& line) {
            return line.part == next->line.part && line.pack_size == offer->pack_size;
        });
        if (same == order.lines.end()) {
            order.lines.push_back(lineOf(*next, *offer, 1));
            order.lines.back().reason += ", to reach the minimum order";
        } else {
            ++same->packs;
            const std::string why = ", to reach the minimum order";
            if (same->reason.find(why) == std::string::npos) same->reason += why;
        }
    }
}

} // namespace

void splitOverSuppliers(const ReorderInputs& inputs, const std::vector<PartNeed>& needs,
                        const OrderSolver& solver, ReorderPlan& plan) {
    std::set<std::string> currencies;
    for (const PartNeed& need : needs) {
        if (need.line.wanted <= 0) continue;
        if (!need.currency.empty()) {
            currencies.insert(need.currency);
            continue;
        }
        plan.unoffered.push_back(need.line);
        plan.unoffered.back().reason = need.why;
    }
    for (const std::string& currency : currencies) solveCurrency(inputs, needs, currency, solver, plan);
    for (SupplierOrder& order : plan.orders) {
        if (order.belowMinimum()) fillToMinimum(needs, order);
    }
}

} // namespace shimledger::services
