// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/stack_view/stack_curves.h"

#include <algorithm>
#include <cmath>

namespace shimledger::desk {

namespace {

constexpr int curve_points = 30;
constexpr int shape_steps = 30;

std::vector<double> equalSteps(double last, int count) {
    std::vector<double> steps;
    for (int i = 1; i <= count; ++i) {
        steps.push_back(last * i / count);
    }
    return steps;
}

} // namespace

std::size_t StackCurves::nearestShape(double lift_mm) const {
    const auto nearest = std::ranges::min_element(
        shape_lifts_mm, {}, [lift_mm](double lift) { return std::abs(lift - lift_mm); });
    return static_cast<std::size_t>(nearest - shape_lifts_mm.begin());
}

StackCurves computeStackCurves(const planner::StackSpec& stack, const std::vector<planner::GroupSums>& sums,
                               const std::vector<planner::RowThickness>& thicknesses,
                               const CurveSettings& settings, const std::stop_token& stop) {
    StackCurves curves;
    planner::StackLift lift = sums.empty() ? planner::StackLift(stack) : planner::StackLift(stack, sums);
    curves.report =
        lift.overLift(settings.working_lift_mm, settings.regime, curve_points, settings.friction_coefficient);
    if (stop.stop_requested()) {
        return curves;
    }
    const std::vector<double> lifts = equalSteps(settings.working_lift_mm, curve_points);
    curves.band = planner::scatterBand(stack, thicknesses, lifts, settings.tolerance, settings.regime);
    std::vector<double> shape_lifts = equalSteps(settings.working_lift_mm, shape_steps);
    shape_lifts.insert(shape_lifts.begin(), 0.0); // with a raised seat the discs are bent at rest already
    for (const double step : shape_lifts) {
        if (stop.stop_requested()) {
            break;
        }
        auto shapes = lift.shapesAt(step, settings.regime);
        if (!shapes) {
            break;
        }
        curves.shape_lifts_mm.push_back(step);
        curves.shapes.push_back(std::move(*shapes));
    }
    return curves;
}

std::vector<DeviationPoint> deviationOverLift(const planner::LiftCurve& target,
                                              const planner::LiftCurve& substitute) {
    std::vector<DeviationPoint> points;
    for (const planner::LiftPoint& point : substitute.points()) {
        if (point.lift_mm <= 0 || point.lift_mm > target.greatestLift()) {
            continue;
        }
        const double wanted = target.pressureAt(point.lift_mm);
        if (wanted > 0) {
            points.push_back({point.lift_mm, 100 * (point.pressure_mpa / wanted - 1)});
        }
    }
    return points;
}

} // namespace shimledger::desk
