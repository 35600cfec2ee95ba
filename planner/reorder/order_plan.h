// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::planner {

/// What to buy from whom. Money is whole hundredths of one currency, quantities are whole.
///
/// Minimise the parts, the freight of every supplier that is used, what an order falls short of the
/// supplier's minimum, and what it costs that jobs wait; bring every part to what is wanted, in whole packs.
/// A pack's price may fall with the packs bought of that offer (all-units price break). What an order falls
/// short of its minimum is paid for nothing, as far as no goods that are needed anyway can fill it; those
/// cost no more than keeping them for a while.

struct PackPrice {
    std::int64_t from_packs = 1; ///< rising; the first is 1
    std::int64_t price = 0;      ///< of one pack, > 0, never dearer with quantity
};

struct PlanOffer {
    int supplier = 0;           ///< index
    int part = 0;               ///< index
    std::int64_t pack_size = 1; ///< >= 1
    std::vector<PackPrice> prices;

    [[nodiscard]] std::int64_t cost(std::int64_t packs) const;
};

struct PlanSupplier {
    std::int64_t freight = 0;  ///< for an order of any size
    std::int64_t minimum = 0;  ///< of the parts
    int lead_days = 0;         ///< >= 0; all of an order comes together
    std::int64_t fillable = 0; ///< money that goods needed later could fill an order with, >= 0
};

/// Share of what fills an order up to its minimum that counts as cost: half a year's keeping at 20 % a year.
inline constexpr double fill_share = 0.1;

struct PlanPart {
    std::int64_t wanted = 1;            ///< >= 1
    std::optional<std::int64_t> most{}; ///< shelf life: no more than this, or the least that serves `wanted`
};

struct PlanNeed {
    int part = 0;            ///< index
    std::int64_t pieces = 1; ///< of those bought that must have come, 1 up to what is wanted of the part
};

/// Somebody who waits until all that is needed has come. Who stands further back in a queue for a part needs
/// the pieces of those before as well.
struct PlanWait {
    std::vector<PlanNeed> needs;
    int free_days = 0;      ///< so many days from now harm nobody; may be negative: late already
    std::int64_t price = 0; ///< of every day beyond, >= 0
};

struct OrderPlanProblem {
    std::vector<PlanSupplier> suppliers;
    std::vector<PlanPart> parts; ///< each has an offer
    std::vector<PlanOffer> offers;
    std::vector<PlanWait> waits{};
};

enum class PlanMethod { none, solver, rule };

struct OrderPlanCost {
    std::int64_t parts = 0;
    std::int64_t freight = 0;
    std::int64_t below_minimum = 0; ///< what orders fall short of their minimum and nothing useful fills
    std::int64_t filled = 0;        ///< what goods that are needed later fill
    std::int64_t waiting = 0;       ///< of those who wait

    /// What a plan minimises.
    [[nodiscard]] double total() const {
        return static_cast<double>(parts + freight + below_minimum + waiting) +
               fill_share * static_cast<double>(filled);
    }
};

struct OrderPlan {
    PlanMethod method = PlanMethod::none; ///< none: nothing was asked for or not run yet
    std::vector<std::int64_t> packs;      ///< by offer
    OrderPlanCost cost;
    double lower_bound = 0; ///< proved: no plan costs less
    std::string why_rule{}; ///< why the solver did not answer

    /// (total - lower bound) / total; 0 for a total of 0.
    [[nodiscard]] double gap() const;
};

/// Names the first bad figure (a pack of 0, a missing price, a price that rises, a part nobody offers) by
/// InputError.
void checkOrderPlanProblem(const OrderPlanProblem& problem);
/// The most of a part that a plan may buy; none: no limit. Always enough for one offer to serve `wanted`.
[[nodiscard]] std::optional<std::int64_t> mostOf(const OrderPlanProblem& problem, int part);
/// Costs a plan from nothing but the problem. Throws std::logic_error where it leaves a part short, buys
/// beyond its most, or buys less than nothing: any plan is checked by this, whoever made it.
[[nodiscard]] OrderPlanCost costOfPlan(const OrderPlanProblem& problem,
                                       const std::vector<std::int64_t>& packs);
/// The day, counted from now, on which a wait of the problem ends under a plan that serves every part.
[[nodiscard]] int dayServed(const OrderPlanProblem& problem, const PlanWait& wait,
                            const std::vector<std::int64_t>& packs);
/// A bound that needs no solver: each part at its cheapest price per piece, and the least freight.
[[nodiscard]] double simpleBound(const OrderPlanProblem& problem);

/// The rule for a machine without a solver: each part from the one offer that costs least for it, waiting
/// counted; then, as
/// long as that saves anything, the supplier is left out whose leaving out saves most. Not proved best.
[[nodiscard]] OrderPlan planByRule(const OrderPlanProblem& problem);

} // namespace shimledger::planner
