// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/damping/stack_opening.h"
#include "planner/stack/stack_spec.h"
#include "planner/stack/valve_flow.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace shimledger::planner {

/// One force (N) that a test bench read at a steady shaft speed (m/s), both above 0.
struct MeasuredForce {
    double speed_m_s = 0;
    double force_n = 0;
};

/// What is fitted; the other figures of the flow are believed.
struct FitUnknowns {
    bool discharge = false; ///< the curtain's
    bool bleed = false;     ///< its diameter
};

/// A fitted figure with the half width of its 95 % interval (Student's t over the degrees of freedom left).
struct FittedFigure {
    double value = 0;
    double uncertainty = 0;
    bool at_limit = false; ///< stopped by the range it was looked for in, so that the interval means nothing
};

struct DampingFit {
    ValveFlow flow; ///< with what was fitted
    std::optional<FittedFigure> curtain_discharge;
    std::optional<FittedFigure> bleed_diameter_mm;
    std::vector<double> misses;      ///< ln(model / measured) by measurement
    double mean_miss = 0;            ///< root mean square of these
    double correlation = 0;          ///< of the two unknowns' errors, -1 to 1; 0 with one
    std::vector<std::string> doubts; ///< sentences on why not to trust it; a poor fit is said, not hidden
};

/// Least squares of ln(model / measured), so that a small force counts like a large one, by Levenberg's
/// damped Gauss-Newton steps from the best of a coarse grid: discharge in 0.3 to 1, bleed from none to what
/// would pass the whole flow at a tenth of the least force measured. The bleed enters by its area, whose
/// effect does not vanish where there is none. With an adjuster, all its clicks' diameters are scaled alike.
/// `opening` must cover the flow at a discharge of 0.3 without bleed up to the greatest speed: fitOpening().
/// Throws InputError where nothing or too little was measured: two more than there are unknowns.
[[nodiscard]] DampingFit fitDamping(const ValveFlow& flow, const OpeningCurve& opening,
                                    std::span<const MeasuredForce> measured, FitUnknowns unknowns);

/// The stack's opening as far as any fit to these measurements can need it.
[[nodiscard]] StackOpening fitOpening(const StackSpec& stack, const ValveFlow& flow,
                                      std::span<const MeasuredForce> measured);

} // namespace shimledger::planner
