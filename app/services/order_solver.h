#pragma once

#include "planner/reorder/order_plan.h"

#include <filesystem>

namespace shimledger::services {

struct OrderSolver {
    /// The program `cbc` (Debian coinor-cbc); none is looked for where this is empty: the rule then makes the
    /// plan.
    std::filesystem::path program = findProgram();
    int seconds = 10; ///< time limit of one plan

    /// The first `cbc` on the PATH; empty without one.
    [[nodiscard]] static std::filesystem::path findProgram();
};

/// Runs the solver on the model and reads its answer, which is costed anew. Without a solver, or one that
/// fails or answers nothing usable: planner::planByRule, with the reason in why_rule. Bad figures raise
/// InputError.
[[nodiscard]] planner::OrderPlan solveOrderPlan(const planner::OrderPlanProblem& problem,
                                                const OrderSolver& solver);

} // namespace shimledger::services
