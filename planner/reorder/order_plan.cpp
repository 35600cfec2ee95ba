#include "planner/reorder/order_plan.h"

#include "planner/units/input_error.h"

#include <algorithm>
#include <cmath>
#include <limits>
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
            if (const std::int64_t cost = offer.cost(count); !chosen || cost < chosen_cost) {
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
    const auto total = static_cast<double>(cost.total());
    return total > 0 ? std::max(0.0, (total - lower_bound) / total) : 0;
}

void checkOrderPlanProblem(const OrderPlanProblem& problem) {
    std::vector<bool> offered(problem.parts.size(), false);
    for (const PlanSupplier& supplier : problem.suppliers) {
        if (supplier.freight < 0 || supplier.minimum < 0) {
            throw InputError("Freight and minimum order must be 0 or more.");
        }
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
        cost.below_minimum +=
            std::max<std::int64_t>(0, problem.suppliers[supplier].minimum - spent[supplier]);
    }
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
