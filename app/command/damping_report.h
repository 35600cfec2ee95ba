// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/known_flow.h"
#include "planner/damping/damping_fit.h"
#include "planner/damping/damping_study.h"

#include <optional>
#include <ostream>
#include <string>
#include <vector>

namespace shimledger::command {

/// What the damping verb tells, one struct for text and JSON.
struct DampingReport {
    planner::DampedStack damped;
    planner::DampingStudy study;
    std::string name;         ///< of the stack, of a job: "the target", "proposal 2"; empty: a file's
    std::string against_name; ///< file of the other stack, or "the target"; empty: none
    std::vector<services::AssumedFigure> assumed; ///< of a job's flow, from what is usual
    std::string fitted_to;                        ///< as the job's component model says it
    std::optional<planner::DampingComparison> against;
    std::string measured_name; ///< file of the readings; empty: none
    std::vector<planner::MeasuredForce> measured;
    std::optional<planner::DampingFit> fit;
    std::vector<std::string> kept;     ///< what of the fit is kept with the component model, in sentences
    std::vector<std::string> warnings; ///< sentences
};

/// The ratio first, then the newtons as a model's, then what changes with heat and clicks.
void tellDamping(const DampingReport& report, std::ostream& out);
void writeDampingJson(const DampingReport& report, std::ostream& out);

} // namespace shimledger::command
