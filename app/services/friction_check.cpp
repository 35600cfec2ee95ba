// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/friction_check.h"

#include "app/services/proposal_text.h"
#include "planner/mechanics/stack_lift.h"

#include <fmt/format.h>

#include <cmath>
#include <vector>

namespace shimledger::services {

namespace {

constexpr int points = 15; // lifts of the comparison

/// What friction adds to the pressure at each lift, as a part of it and for a coefficient of 1, which it is
/// proportional to; fewer where the curve ends early.
std::vector<double> addedPressure(const planner::StackSpec& stack, double last_lift_mm) {
    const planner::StackReport report =
        planner::StackLift(stack).overLift(last_lift_mm, planner::Regime::large, points, 1.0);
    std::vector<double> added;
    for (const planner::LiftPoint& point : report.curve.points()) {
        if (!(point.lift_slope_mm_per_mpa > 0 && point.pressure_mpa > 0)) break;
        added.push_back(planner::partOfPressure(point.friction_half_width_mm, point.lift_slope_mm_per_mpa,
                                                point.pressure_mpa));
    }
    return added;
}

} // namespace

LoadingComparison compareLoading(const planner::StackSpec& target, const planner::StackSpec& built,
                                 double last_lift_mm, const std::function<double(double lift_mm)>& ratio,
                                 bool compared_loading) {
    LoadingComparison comparison;
    const std::vector<double> of_target = addedPressure(target, last_lift_mm);
    const std::vector<double> of_built = addedPressure(built, last_lift_mm);
    if (of_target.size() < points || of_built.size() < points) return comparison;
    // Without friction, by point; what the search compared with it is freed of it.
    const double in_ratio = compared_loading ? planner::usual_friction_coefficient : 0.0;
    std::vector<double> smooth;
    for (std::size_t i = 0; i < points; ++i) {
        smooth.push_back(ratio(last_lift_mm * static_cast<double>(i + 1) / points) *
                         (1 + in_ratio * of_target[i]) / (1 + in_ratio * of_built[i]));
    }
    const auto worst = [&](double coefficient, const std::vector<double>& middle) {
        double signed_deviation = 0;
        for (std::size_t i = 0; i < points; ++i) {
            const double deviation =
                middle[i] * (1 + coefficient * of_built[i]) / (1 + coefficient * of_target[i]) - 1;
            if (std::abs(deviation) > std::abs(signed_deviation)) signed_deviation = deviation;
        }
        return signed_deviation;
    };
    comparison.middle_deviation = worst(0, smooth);
    comparison.signed_deviation = worst(planner::usual_friction_coefficient, smooth);
    comparison.with_least = worst(planner::least_friction_coefficient, smooth);
    comparison.with_most = worst(planner::greatest_friction_coefficient, smooth);
    comparison.rubbing = worst(planner::usual_friction_coefficient, std::vector<double>(points, 1.0));
    comparison.sentence = fmt::format(
        "With friction between the discs the pressure differs by up to {} while it rises ({} to {} with a "
        "coefficient of {:.2f} to {:.2f}).",
        percentText(comparison.signed_deviation), percentText(comparison.with_least),
        percentText(comparison.with_most), planner::least_friction_coefficient,
        planner::greatest_friction_coefficient);
    if (compared_loading) {
        comparison.sentence +=
            fmt::format(" Without friction, in the middle of the loop, it differs by up to {}.",
                        percentText(comparison.middle_deviation));
    }
    return comparison;
}

} // namespace shimledger::services
