// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/lift_model.h"
#include "planner/stack/stack_spec.h"
#include "planner/substitute/substitute_request.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::planner {

/// One thing that a tuner can do to a stack.
struct SingleStep {
    enum class Kind {
        one_more,
        one_fewer,
        thinner, ///< all discs of a row, to the next size that is known
        thicker,
        smaller, ///< the OD of all discs of a row, to the next one that is known
        larger,
        gap_less, ///< a crossover 0.05 mm thinner: one of its discs is another
        gap_more,
        clamp_smaller, ///< the clamp 1 mm smaller, with the discs that are as wide as it
        clamp_larger
    };
    Kind kind = Kind::one_more;
    /// Of the base, from 1; 0: the clamp, where no disc of the stack is as wide as it. Then a disc of any
    /// thickness is what is needed.
    int row = 0;
    std::string words;   ///< "one more 24.0 x 0.10"
    StackSpec stack;     ///< after it
    bool solved = false; ///< it has a curve
    std::vector<double>
        changes;                ///< by lift of the table: p / p_base - 1, + is stiffer; empty without a curve
    std::int64_t needed = 0;    ///< discs that it puts in, all legs
    std::int64_t available = 0; ///< of those, in the drawers; 0 where nobody named drawers
};

[[nodiscard]] const char* singleStepName(SingleStep::Kind kind);

struct StepTable {
    std::vector<double> lifts_mm; ///< low, middle and full: a tenth of the working lift, half of it, all
    std::vector<double> base_pressures_mpa;
    std::vector<SingleStep> steps; ///< by row, the clamp last
    bool drawers_known = false;
};

struct StepQuestion {
    StackSpec base;
    int legs = 2;
    std::optional<std::vector<StockItem>> stock; ///< its sizes are those known; none: the base's own
    double working_lift_mm = 0.30;
    Regime regime = Regime::large;
};

/// What every possible single step does to the curve: each change of one row, the crossovers' gaps, the
/// clamp. Steps that leave no stack that can exist are left out. Throws InputError where the base has no
/// curve.
[[nodiscard]] StepTable singleSteps(const StepQuestion& question);

} // namespace shimledger::planner
