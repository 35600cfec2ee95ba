// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/warp_onset.h"
#include "planner/stack/stack_spec.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace shimledger::planner {

/// Warped curves were compared with finite elements up to this many times the pressure of the onset.
inline constexpr double checked_onset_loads = 1.5;

/// One point of the curve with warping: up to the onset the three lifts are one.
struct WarpPoint {
    double pressure_mpa = 0;
    double mean_lift_mm = 0; ///< of the face disc's rim, over the angle
    double min_lift_mm = 0;
    double max_lift_mm = 0;
};

struct WarpCurve {
    std::vector<WarpPoint> points;
    std::optional<WarpOnset> onset; ///< none below the last point: the curve is the round one
    bool converged = false;         ///< false: points end where the branch was lost, `reason` says so
    std::string reason;
    std::string caution;
};

/// Lifts at ascending pressures, following the lobed branch past the onset: harmonics 0, n and 2n in the
/// angle for every group, with one-sided contact at ten angles of half a lobe. Some 70 ms for ten points of
/// a stack of nine groups: for final proposals and reports, not for searches.
[[nodiscard]] WarpCurve warpedLifts(const StackSpec& stack, std::span<const double> pressures_mpa);

/// The same in `points` steps of pressure up to about the given mean lift.
[[nodiscard]] WarpCurve warpedCurveOverLift(const StackSpec& stack, double lift_mm, int points = 20);

/// Pressures at the first of the lifts asked for, as many as were reached.
struct WarpPressures {
    std::vector<double> pressures_mpa;
    std::optional<WarpOnset> onset; ///< none up to the last lift: the pressures are the round solution's
    bool converged = false;         ///< false: `reason` says why not all were reached
    std::string reason;
    std::string caution;
};

/// The pressures at which the mean rim lift passes these ascending lifts (at least one, above 0).
[[nodiscard]] WarpPressures warpedPressures(const StackSpec& stack, std::span<const double> lifts_mm);

} // namespace shimledger::planner
