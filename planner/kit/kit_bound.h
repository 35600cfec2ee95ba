// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/kit/kit_problem.h"

#include <functional>
#include <vector>

namespace shimledger::planner {

/// What no first stage can exceed, and what a disc of each size is worth at that bound.
struct KitBound {
    double built = 0;               ///< jobs over all windows
    std::vector<double> disc_worth; ///< by size: jobs over all windows for one disc more in each of them
    double job_per_money = 0;       ///< jobs over all windows for a hundredth more
};

struct KitBoundLimits {
    int rounds = 1500;
    std::function<bool()> may_go_on; ///< asked now and then; empty: always
};

/// A Lagrangian bound on the jobs that can be built in the problem's windows by its ways.
///
/// A size is bought pack by pack, x_1 >= x_2 >= ... in {0, 1}. Two kinds of rows tie the windows to it, and
/// both are priced: discs taken of a size in a window are no more than lie there; and a job is built by ways
/// that take m packs of a size alone only as far as x_m is bought (without these a solver sees a hundredth
/// of a pack as a hundredth of every job). What is left parts into jobs, each by its best way at these
/// prices, and a knapsack over the packs, whose linear form takes money and drawers exactly. Prices follow
/// the subgradient (M. Held, P. Wolfe, H. Crowder, Math. Programming 6 (1974) 62); whatever they are, the
/// bound holds. `known` is what some levels do: it sets the step and nothing else.
[[nodiscard]] KitBound boundKit(const KitProblem& problem, int known, const KitBoundLimits& limits = {});

} // namespace shimledger::planner
