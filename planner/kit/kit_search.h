// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/kit/kit_problem.h"
#include "planner/kit/window_packing.h"

#include <cstdint>
#include <functional>
#include <vector>

namespace shimledger::planner {

struct KitSearchLimits {
    int moves = 60'000; ///< of each start
    std::uint64_t seed = 1;
    std::function<bool()> may_go_on; ///< asked now and then; empty: always
};

/// A first stage and what it does in the sampled windows.
struct KitFound {
    KitLevels levels;
    std::vector<PackedWindow> windows;
    int built = 0;
    std::int64_t cost = 0;
};

/// Packs for the most jobs built, by simulated annealing from the given levels (empty drawers where there are
/// none, cut to budget and drawers): a job that could not be built gets the packs that one of its ways lacks,
/// and what is used least makes room for them. Of equals the cheaper. The same seed gives the same levels.
[[nodiscard]] KitFound searchKit(const KitProblem& problem, const std::vector<KitLevels>& starts,
                                 const KitSearchLimits& limits);

/// What given levels do in the problem's windows.
[[nodiscard]] KitFound weighKit(const KitProblem& problem, const KitLevels& levels, int most_nodes = 2000);

/// No packs, a drawer for whatever lies there as far as drawers go: the most discs first.
[[nodiscard]] KitLevels nothingBought(const KitProblem& problem);

} // namespace shimledger::planner
