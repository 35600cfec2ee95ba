// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/disc_friction.h"
#include "planner/mechanics/scatter_band.h"
#include "planner/mechanics/stack_lift.h"

#include <optional>
#include <stop_token>
#include <vector>

namespace shimledger::desk {

/// What a comparison is drawn for.
struct CurveSettings {
    double working_lift_mm = 0.30; ///< above 0
    planner::Regime regime = planner::Regime::large;
    planner::ToleranceClass tolerance = planner::ToleranceClass::precision;
    double friction_coefficient = planner::usual_friction_coefficient; ///< between the discs; 0: no loop
};

/// One stack, computed for drawing: its curve, its scatter and its bent shapes.
struct StackCurves {
    planner::StackReport report;
    std::optional<planner::ScatterBand> band; ///< none where the stack cannot be followed
    std::vector<double> shape_lifts_mm; ///< ascending, the first is 0; ends where the stack can be followed
    std::vector<std::vector<planner::DiscShape>> shapes; ///< by lift, by row

    /// Index of the computed shape nearest to a lift.
    [[nodiscard]] std::size_t nearestShape(double lift_mm) const;
};

/// One point of the deviation of a substitute from its target.
struct DeviationPoint {
    double lift_mm = 0;
    double per_cent = 0; ///< + is stiffer than the target
};

/// Follows the stack over the working lift. Takes tens of milliseconds: call it off the window's thread.
/// `sums` by group and `thicknesses` by row, empty for those of `stack`. Returns early, with fewer shapes,
/// when a stop is asked for.
[[nodiscard]] StackCurves computeStackCurves(const planner::StackSpec& stack,
                                             const std::vector<planner::GroupSums>& sums,
                                             const std::vector<planner::RowThickness>& thicknesses,
                                             const CurveSettings& settings, const std::stop_token& stop);

/// 100 (p_substitute / p_target - 1) at the substitute's points that the target's curve reaches.
[[nodiscard]] std::vector<DeviationPoint> deviationOverLift(const planner::LiftCurve& target,
                                                            const planner::LiftCurve& substitute);

} // namespace shimledger::desk
