// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/reorder/order_plan.h"

#include <filesystem>
#include <stop_token>

namespace shimledger::services {

struct OrderSolver {
    /// The program `cbc` (Debian coinor-cbc); none is looked for where this is empty: the rule then makes the
    /// plan.
    std::filesystem::path program = findProgram();
    int seconds = 10; ///< time limit of one plan, which the solver keeps by itself
    /// How much longer it may take, on the wall's clock, before it counts as hung and is killed: it counts
    /// its limit in processor time, and reads and writes beside it.
    int grace_seconds = 20;
    std::stop_token stop{}; ///< ends the solver within a fraction of a second; the rule then makes the plan

    /// The first `cbc` on the PATH; empty without one.
    [[nodiscard]] static std::filesystem::path findProgram();
};

/// Runs the solver on the model and reads its answer, which is costed anew. Without a solver, or one that
/// fails or answers nothing usable: planner::planByRule, with the reason in why_rule. Bad figures raise
/// InputError.
[[nodiscard]] planner::OrderPlan solveOrderPlan(const planner::OrderPlanProblem& problem,
                                                const OrderSolver& solver);

} // namespace shimledger::services
