// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/stack_view/warped_pressure.h"

#include <algorithm>
#include <cmath>

namespace shimledger::desk {

namespace {

/// A column of the warped branch where its mean lift is `lift_mm`; before its first point it goes on from
/// `at_onset`.
std::optional<double> alongBranch(const services::WarpDrawing& warp, const std::vector<double>& column,
                                  double at_onset, double lift_mm) {
    double lift_before = warp.onset->lift_mm;
    double before = at_onset;
    for (std::size_t i = 0; i < column.size(); ++i) {
        const double lift = warp.mean_lifts_mm[i];
        if (lift <= lift_before) continue; // the branch begins a little below the onset
        if (lift >= lift_mm)
            return std::lerp(before, column[i], (lift_mm - lift_before) / (lift - lift_before));
        lift_before = lift;
        before = column[i];
    }
    // The last point stands at the end of the range but for rounding.
    return lift_mm <= lift_before + 1e-6 ? std::optional(before) : std::nullopt;
}

} // namespace

std::optional<double> pressureWithWarping(const DrawnStack& stack, double lift_mm) {
    if (stack.curves == nullptr || stack.curves->report.curve.points().empty()) return std::nullopt;
    if (stack.warps() && lift_mm > stack.warp->onset->lift_mm) {
        return alongBranch(*stack.warp, stack.warp->warped_pressures_mpa, stack.warp->onset->pressure_mpa,
                           lift_mm);
    }
    const planner::LiftCurve& curve = stack.curves->report.curve;
    if (lift_mm <= 0 || lift_mm > curve.greatestLift() * (1 + 1e-6)) return std::nullopt;
    return curve.pressureAt(std::min(lift_mm, curve.greatestLift()));
}

std::optional<RimLifts> rimLifts(const DrawnStack& stack, double lift_mm) {
    if (!stack.warps() || lift_mm <= stack.warp->onset->lift_mm) return std::nullopt;
    const double onset_mm = stack.warp->onset->lift_mm;
    const auto least = alongBranch(*stack.warp, stack.warp->min_lifts_mm, onset_mm, lift_mm);
    const auto greatest = alongBranch(*stack.warp, stack.warp->max_lifts_mm, onset_mm, lift_mm);
    if (!least || !greatest) return std::nullopt;
    return RimLifts{*least, *greatest};
}

std::vector<DeviationPoint> deviationWithWarping(const DrawnStack& target, const DrawnStack& substitute) {
    std::vector<DeviationPoint> points;
    if (target.curves == nullptr || substitute.curves == nullptr) return points;
    for (DeviationPoint point :
         deviationOverLift(target.curves->report.curve, substitute.curves->report.curve)) {
        const bool warped = (target.warps() && point.lift_mm > target.warp->onset->lift_mm) ||
                            (substitute.warps() && point.lift_mm > substitute.warp->onset->lift_mm);
        if (warped) {
            const auto wanted = pressureWithWarping(target, point.lift_mm);
            const auto built = pressureWithWarping(substitute, point.lift_mm);
            if (!wanted || !built) break; // not followed further
            point.per_cent = 100 * (*built / *wanted - 1);
        }
        points.push_back(point);
    }
    return points;
}

} // namespace shimledger::desk
