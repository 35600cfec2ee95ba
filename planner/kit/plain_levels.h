// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/kit/kit_problem.h"

#include <vector>

namespace shimledger::planner {

/// Reorder points size by size, the rule that knows of no stand-ins: of every size so many packs that the
/// windows' own wanted discs are there in the same share of windows, the greatest share that the money
/// allows; what is left of it goes where most windows per money are still short. With too few drawers the
/// sizes that most windows want have one. `wanted`: the stack itself as a way, by wanted stack; no uses
/// where some size of it cannot be had.
[[nodiscard]] KitLevels plainLevels(const KitProblem& problem, const std::vector<KitWay>& wanted);

/// What the packs cost with which each size is there in this share of the windows.
[[nodiscard]] std::int64_t moneyForShare(const KitProblem& problem, const std::vector<KitWay>& wanted,
                                         double share);

} // namespace shimledger::planner
