// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/reorder/order_plan.h"

#include <string>
#include <string_view>

namespace shimledger::planner {

/// The order plan as a mixed-integer program in the LP text format that CBC and GLPK read.
/// Per offer i and price step t: whole packs x<i>_<t>, and with several steps a switch y<i>_<t>; per supplier
/// s a switch z<s> (freight), u<s>, what its order lacks of the minimum, and f<s>, what later goods fill of
/// it; per wait w and day of arrival k a switch v<w>_<k>: not served by that day. Costs in hundredths; what
/// no plan can avoid waiting for is left out of them.
[[nodiscard]] std::string orderModelText(const OrderPlanProblem& problem);

/// What CBC's solution file holds.
struct OrderModelSolution {
    bool optimal = false; ///< proved
    bool usable = false;  ///< a plan is there
    std::vector<std::int64_t> packs;
};

/// Reads the solution file; `text` that is none gives a solution that is not usable.
[[nodiscard]] OrderModelSolution readOrderSolution(const OrderPlanProblem& problem, std::string_view text);
/// The figure behind "Lower bound:" in CBC's report, in hundredths; none where it has none.
[[nodiscard]] std::optional<double> readLowerBound(std::string_view report);

/// Puts a solution into words that were checked: costed anew, with the proved bound. Not usable: planByRule,
/// with `why` as the reason.
[[nodiscard]] OrderPlan finishOrderPlan(const OrderPlanProblem& problem, const OrderModelSolution& solution,
                                        std::optional<double> lower_bound, const std::string& why);

} // namespace shimledger::planner
