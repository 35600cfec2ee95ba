// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/stack_lift.h"

#include <span>
#include <string>
#include <vector>

namespace shimledger::planner {

/// Lift at which discs may begin to leave their round shape, as a plain rule of thumb: 2 thicknesses of
/// the face disc where it is alone, 2.4 where others back it. Source: the three-dimensional
/// finite-element runs behind the design (lone discs 1.94 to 2.5, a backed one 2.4).
[[nodiscard]] double warpRuleOfThumb(const StackSpec& stack);

/// A sentence for a person where the lift is beyond the rule of thumb, else "".
[[nodiscard]] std::string warpWarning(const StackSpec& stack, double lift_mm);

/// Sentences for a person: stress against the material (half its tensile strength for fatigue,
/// nine tenths for lasting set: common practice, no source), slopes outside the theory.
[[nodiscard]] std::vector<std::string> stackWarnings(const StackSpec& stack, double lift_mm,
                                                     std::span<const RowStress> stresses);

} // namespace shimledger::planner
