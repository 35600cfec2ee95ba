// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/disc_group.h"
#include "planner/substitute/substitute_request.h"
#include "planner/units/length.h"

#include <vector>

namespace shimledger::planner {

/// A run of rows of one outline, as the search sees the target.
struct TargetGroup {
    int first_row = 0;
    int row_count = 0;
    Length od, id;    ///< id: the valve's bore, or the ring's
    Length thickness; ///< sum over its discs
    int discs = 0;
    bool crossover = false; ///< smaller than what lies on both sides: its thickness is a gap
    bool ring = false;
    /// No wider than the clamp: no part in the curve, but for the gap that its thickness may hold open.
    bool under_clamp = false;
    double elastic_modulus_mpa = 0;
    double bending_n_mm = 0; ///< nominal sum E t^3
};

[[nodiscard]] std::vector<TargetGroup> targetGroups(const StackSpec& target);

/// How far the rules let the group's OD move.
[[nodiscard]] Length odReach(const SubstituteRules& rules, const TargetGroup& group);

/// The rules have it stay as it is.
[[nodiscard]] bool staysAsItIs(const SubstituteRules& rules, const TargetGroup& group);

/// How many groups may change that need not: all of them where another curve is wanted.
[[nodiscard]] int mostOtherGroups(const SubstituteRules& rules);

} // namespace shimledger::planner
