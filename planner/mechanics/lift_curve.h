// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/lift_model.h"
#include "planner/stack/stack_spec.h"

#include <span>
#include <vector>

namespace shimledger::planner {

struct LiftPoint {
    double pressure_mpa = 0;
    double lift_mm = 0;
    double lift_slope_mm_per_mpa = 0; ///< d lift / d pressure just there
    /// How far friction between the discs holds the lift below this one while the pressure rises and above it
    /// while it falls, and what it adds to the pressure at the same swept volume: see disc_friction.h; 0
    /// where friction was not asked for.
    double friction_half_width_mm = 0;
    double friction_pressure_mpa = 0;
};

/// A pressure-lift curve through computed points, from no pressure to its last point.
/// It rises, but for its beginning: a face that a raised seat or a thick ring holds up may sink below its
/// rest, by a few micrometres, before it opens. Between points the rising part is the monotone cubic with the
/// computed slopes (F. N. Fritsch, R. E. Carlson, SIAM J. Numer. Anal. 17 (1980) 238); beyond the last point
/// it does not exist.
class LiftCurve {
public:
    LiftCurve() = default;
    /// Points ascending in pressure; throws std::logic_error where they are not.
    explicit LiftCurve(std::vector<LiftPoint> points);

    [[nodiscard]] const std::vector<LiftPoint>& points() const { return m_points; }
    /// Of the last point; 0 where even that lies below the rest.
    [[nodiscard]] double greatestLift() const {
        return m_points.empty() || m_points.back().lift_mm < 0 ? 0 : m_points.back().lift_mm;
    }
    /// Pressure on the rising part at a lift in [0, greatestLift()]; throws std::logic_error outside.
    [[nodiscard]] double pressureAt(double lift_mm) const;

private:
    std::vector<LiftPoint> m_points;
    std::vector<LiftPoint> m_knots; ///< of the rising part; the origin in front where it begins there
    std::vector<double> m_slopes;   ///< d pressure / d lift, limited so that the curve rises
};

/// How two curves differ over a working range of lift.
struct CurveDeviation {
    double max_deviation = 0;    ///< largest |p / p_target - 1|
    double signed_deviation = 0; ///< the same with its sign: + is stiffer than the target
    double at_lift_mm = 0;
    double small_lift_ratio = 1; ///< p / p_target as lift goes to 0: what cube sums speak of
    double full_lift_ratio = 1;  ///< p / p_target at the end of the range
};

/// Compares pressures taken at the same ascending lifts, the last of which ends the range.
[[nodiscard]] CurveDeviation compareCurves(std::span<const double> lifts_mm,
                                           std::span<const double> target_pressures_mpa,
                                           std::span<const double> pressures_mpa);

/// The lifts at which two stacks are compared: `count` equal steps up to the working lift, and one very
/// small lift in front that stands for the limit.
[[nodiscard]] std::vector<double> comparisonLifts(double working_lift_mm, int count = 15);

} // namespace shimledger::planner
