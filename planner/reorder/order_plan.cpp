// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/reorder/order_plan.h"

#include "planner/units/input_error.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <stdexcept>

namespace shimledger::planner {

namespace {

std::size_t at(int index) {
    return static_cast<std::size_t>(index);
}

std::int64_t packsFor(std::int64_t pieces, std::int64_t pack_size) {
    return (pieces + pack_size - 1) / pack_size;
}

/// More packs than needed may cost less, where a price break begins.
std::int64_t cheapestPacks(const PlanOffer& offer, std::int64_t wanted, std::optional<std::int64_t> most) {
    const std::int64_t needed = packsFor(wanted, offer.pack_size);
    std::int64_t best = needed;
    for (const PackPrice& step : offer.prices) {
        if (step.from_packs <= needed || (most && step.from_packs * offer.pack_size > *most)) continue;
        if (offer.cost(step.from_packs) < offer.cost(best)) best = step.from_packs;
    }
    return best;
}

std::int64_t lateCost(const PlanWait& wait, int day) {
    return wait.price * std::max(0, day - wait.free_days);
}

/// What it would cost that `part` alone comes on that day.
std::int64_t waitingFor(const OrderPlanProblem& problem, std::size_t part, int day) {
    std::int64_t cost = 0;
    for (const PlanWait& wait : problem.waits) {
        const bool needs = std::any_of(wait.needs.begin(), wait.needs.end(),
                                       [&](const PlanNeed& need) { return at(need.part) == part; });
        if (needs) cost += lateCost(wait, day);
    }
    return cost;
}

/// Each part from its cheapest single offer among the suppliers that may deliver; nothing where a part has
/// none.
std::optional<std::vector<std::int64_t>> cheapestEach(const OrderPlanProblem& problem,
                                                      const std::vector<bool>& may_deliver) {
    std::vector<std::int64_t> packs(problem.offers.size(), 0);
    for (std::size_t part = 0; part < problem.parts.size(); ++part) {
        const auto most = mostOf(problem, static_cast<int>(part));
        std::optional<std::size_t> chosen;
        std::int64_t chosen_packs = 0, chosen_cost = 0;
        for (std::size_t i = 0; i < problem.offers.size(); ++i) {
            const PlanOffer& offer = problem.offers[i];
            if (at(offer.part) != part || !may_deliver[at(offer.supplier)]) continue;
            const std::int64_t count = cheapestPacks(offer, problem.parts[part].wanted, most);
            if (most && count * offer.pack_size > *most) continue;
            const std::int64_t cost =
                offer.cost(count) +
                waitingFor(problem, part, problem.suppliers[at(offer.supplier)].lead_days);
            if (!chosen || cost < chosen_cost) {
                chosen = i;
                chosen_packs = count;
                chosen_cost = cost;
            }
        }
        if (!chosen) return std::nullopt;
        packs[*chosen] = chosen_packs;
    }
    return packs;
}

} // namespace

std::int64_t PlanOffer::cost(std::int64_t packs) const {
    std::int64_t price = prices.front().price;
    for (const PackPrice& step : prices) {
        if (packs >= step.from_packs) price = step.price;
    }
    return packs * price;
}

double OrderPlan::gap() const {
    const double total = cost.total();
    return total > 0 ? std::max(0.0, (total - lower_bound) / total) : 0;
}

void checkOrderPlanProblem(const OrderPlanProblem& problem) {
    std::vector<bool> offered(problem.parts.size(), false);
    for (const PlanSupplier& supplier : problem.suppliers) {
        if (supplier.freight < 0 || supplier.minimum < 0 || supplier.fillable < 0) {
            throw InputError("Freight and minimum order must be 0 or more.");
        }
        if (supplier.lead_days < 0) throw InputError("A lead time must be 0 days or more.");
    }
    for (const PlanOffer& offer : problem.offers) {
        if (offer.supplier < 0 || at(offer.supplier) >= problem.suppliers.size() || offer.part < 0 ||
            at(offer.part) >= problem.parts.size()) {
            throw InputError("An offer must name a supplier and a part of the plan.");
        }
        if (offer.pack_size < 1) throw InputError("A pack must hold 1 or more pieces.");
        if (offer.prices.empty() || offer.prices.front().from_packs != 1) {
            throw InputError("An offer needs a price for 1 pack.");
        }
        for (std::size_t i = 0; i < offer.prices.size(); ++i) {
            if (offer.prices[i].price <= 0) throw InputError("The price of a pack must be more than 0.");
            if (i == 0) continue;
            if (offer.prices[i].from_packs <= offer.prices[i - 1].from_packs ||
                offer.prices[i].price > offer.prices[i - 1].price) {
                throw InputError("Price breaks must rise in packs and must not get dearer.");
            }
        }
        offered[at(offer.part)] = true;
    }
    for (std::size_t part = 0; part < problem.parts.size(); ++part) {
        if (problem.parts[part].wanted < 1) throw InputError("A part of the plan must want 1 piece or more.");
        if (!offered[part]) throw InputError("Every part of the plan needs an offer.");
    }
    for (const PlanWait& wait : problem.waits) {
        if (wait.price < 0) throw InputError("The price of a waiting day must be 0 or more.");
        for (const PlanNeed& need : wait.needs) {
            if (need.part < 0 || at(need.part) >= problem.parts.size() || need.pieces < 1 ||
                need.pieces > problem.parts[at(need.part)].wanted) {
                throw InputError(
                    "Who waits must need 1 piece or more of a part, and no more than is bought.");
            }
        }
    }
}

int dayServed(const OrderPlanProblem& problem, const PlanWait& wait, const std::vector<std::int64_t>& packs) {
    int day = 0;
    for (const PlanNeed& need : wait.needs) {
        std::map<int, std::int64_t> coming; // by day
        for (std::size_t i = 0; i < packs.size(); ++i) {
            const PlanOffer& offer = problem.offers[i];
            if (offer.part != need.part || packs[i] == 0) continue;
            coming[problem.suppliers[at(offer.supplier)].lead_days] += packs[i] * offer.pack_size;
        }
        std::int64_t pieces = 0;
        for (const auto& [arrival, count] : coming) {
            pieces += count;
            if (pieces < need.pieces) continue;
            day = std::max(day, arrival);
            break;
        }
        if (pieces < need.pieces) throw std::logic_error("an order plan leaves somebody waiting for ever");
    }
    return day;
}

std::optional<std::int64_t> mostOf(const OrderPlanProblem& problem, int part) {
    const PlanPart& wish = problem.parts[at(part)];
    if (!wish.most) return std::nullopt;
    std::int64_t least = std::numeric_limits<std::int64_t>::max();
    for (const PlanOffer& offer : problem.offers) {
        if (offer.part == part) {
            least = std::min(least, packsFor(wish.wanted, offer.pack_size) * offer.pack_size);
        }
    }
    return std::max(*wish.most, least);
}

OrderPlanCost costOfPlan(const OrderPlanProblem& problem, const std::vector<std::int64_t>& packs) {
    if (packs.size() != problem.offers.size()) throw std::logic_error("an order plan misses offers");
    OrderPlanCost cost;
    std::vector<std::int64_t> pieces(problem.parts.size(), 0), spent(problem.suppliers.size(), 0);
    std::vector<bool> used(problem.suppliers.size(), false);
    for (std::size_t i = 0; i < packs.size(); ++i) {
        const PlanOffer& offer = problem.offers[i];
        if (packs[i] < 0) throw std::logic_error("an order plan buys less than nothing");
        if (packs[i] == 0) continue;
        pieces[at(offer.part)] += packs[i] * offer.pack_size;
        spent[at(offer.supplier)] += offer.cost(packs[i]);
        used[at(offer.supplier)] = true;
    }
    for (std::size_t part = 0; part < pieces.size(); ++part) {
        if (pieces[part] < problem.parts[part].wanted)
            throw std::logic_error("an order plan leaves a part short");
        const auto most = mostOf(problem, static_cast<int>(part));
        if (most && pieces[part] > *most) throw std::logic_error("an order plan buys more than keeps");
    }
    for (std::size_t supplier = 0; supplier < used.size(); ++supplier) {
        if (!used[supplier]) continue;
        cost.parts += spent[supplier];
        cost.freight += problem.suppliers[supplier].freight;
        const std::int64_t lacking =
            std::max<std::int64_t>(0, problem.suppliers[supplier].minimum - spent[supplier]);
        const std::int64_t filled = std::min(lacking, problem.suppliers[supplier].fillable);
        cost.filled += filled;
        cost.below_minimum += lacking - filled;
    }
    for (const PlanWait& wait : problem.waits)
        cost.waiting += lateCost(wait, dayServed(problem, wait, packs));
    return cost;
}

double simpleBound(const OrderPlanProblem& problem) {
    double sum = 0;
    for (std::size_t part = 0; part < problem.parts.size(); ++part) {
        double least = std::numeric_limits<double>::infinity();
        for (const PlanOffer& offer : problem.offers) {
            if (at(offer.part) != part) continue;
            const auto price = static_cast<double>(offer.prices.back().price);
            const double each = price / static_cast<double>(offer.pack_size);
            least = std::min(least, std::max(price, each * static_cast<double>(problem.parts[part].wanted)));
        }
        sum += least;
    }
    for (const PlanWait& wait : problem.waits) { // nothing comes sooner than from its nearest supplier
        int day = 0;
        for (const PlanNeed& need : wait.needs) {
            int nearest = std::numeric_limits<int>::max();
            for (const PlanOffer& offer : problem.offers) {
                if (offer.part == need.part) {
                    nearest = std::min(nearest, problem.suppliers[at(offer.supplier)].lead_days);
                }
            }
            day = std::max(day, nearest);
        }
        sum += static_cast<double>(lateCost(wait, day));
    }
    std::int64_t freight = std::numeric_limits<std::int64_t>::max();
    for (const PlanSupplier& supplier : problem.suppliers) freight = std::min(freight, supplier.freight);
    return problem.parts.empty() ? 0 : std::ceil(sum - 1e-6) + static_cast<double>(freight);
}

OrderPlan planByRule(const OrderPlanProblem& problem) {
    checkOrderPlanProblem(problem);
    OrderPlan plan;
    plan.method = PlanMethod::rule;
    std::vector<bool> open(problem.suppliers.size(), true);
    plan.packs = cheapestEach(problem, open).value();
    plan.cost = costOfPlan(problem, plan.packs);
    for (;;) {
        std::optional<std::size_t> left_out;
        for (std::size_t supplier = 0; supplier < open.size(); ++supplier) {
            if (!open[supplier]) continue;
            std::vector<bool> fewer = open;
            fewer[supplier] = false;
            const auto packs = cheapestEach(problem, fewer);
            if (!packs) continue;
            if (const OrderPlanCost cost = costOfPlan(problem, *packs); cost.total() < plan.cost.total()) {
                left_out = supplier;
                plan.packs = *packs;
                plan.cost = cost;
            }
        }
        if (!left_out) break;
        open[*left_out] = false;
    }
    plan.lower_bound = simpleBound(problem);
    return plan;
}

} // namespace shimledger::planner
