// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/job.h"
#include "planner/mechanics/lift_curve.h"
#include "planner/substitute/substitute_result.h"

#include <optional>
#include <string>
#include <vector>

namespace shimledger::services {

/// How the curve of a job's stack stands against that of another one, discs as round.
struct CurveDifference {
    std::optional<planner::CurveDeviation> deviation; ///< none: see the sentence
    std::vector<double> changes; ///< at the lifts that were asked for: p / p_base - 1; empty without a curve
    /// "over 0.30 mm of lift its pressure differs from the target's by at most +1.2 % ...", or why not.
    std::string sentence;
};

/// Over the working lift (mm, above 0). `pulls`: discs of `built` as they were read; none: nominal. `at_mm`:
/// further lifts, ascending, up to the working lift. Rows that are no stack on the job's valve are told in
/// the sentence.
[[nodiscard]] CurveDifference curveDifference(const inventory::Job& job, const inventory::JobStack& base,
                                              const inventory::JobStack& built,
                                              const std::vector<planner::Pull>& pulls, double working_lift_mm,
                                              const std::vector<double>& at_mm = {});

} // namespace shimledger::services
