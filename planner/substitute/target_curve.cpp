// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/target_curve.h"

#include "planner/mechanics/disc_friction.h"
#include "planner/mechanics/lift_curve.h"
#include "planner/mechanics/lift_model.h"
#include "planner/substitute/loading_curve.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <utility>

namespace shimledger::planner {

namespace {

constexpr int looks_between = 4; // parts of the way from one lift to the next

double frictionCoefficient(const SubstituteRules& rules) {
    return rules.compare_loading ? usual_friction_coefficient : 0;
}

/// The target's model, for lifts that are asked for later.
struct TargetModel {
    TargetModel(const SubstituteRequest& request, const GridOptions& grid)
        : TargetModel(request.curve_of ? *request.curve_of : *request.target, request.rules.regime, grid) {}
    TargetModel(const StackSpec& of, Regime with, const GridOptions& grid)
        : stack(of), regime(with), grouped(groupStack(of)), model(of.valve(), grouped.shapes, grid),
          workspace(model.makeWorkspace()) {}

    [[nodiscard]] SolveReport pressures(const std::vector<double>& lifts_mm, std::vector<double>& found_mpa) {
        found_mpa.assign(lifts_mm.size(), 0);
        SolveReport report = model.pressuresAtLifts(grouped.sums, lifts_mm, regime, workspace, found_mpa);
        for (std::size_t i = 0; friction && i < lifts_mm.size(); ++i)
            found_mpa[i] *= 1 + friction->at(lifts_mm[i]);
        return report;
    }

    StackSpec stack;
    Regime regime;
    GroupedStack grouped;
    LiftModel model;
    LiftWorkspace workspace;
    std::optional<AddedFriction> friction; ///< none where it is left out
};

void multiply(const WantedFactor& wanted, const std::vector<double>& lifts_mm,
              std::vector<double>& pressures_mpa) {
    if (wanted.changesNothing()) return;
    for (std::size_t i = 0; i < lifts_mm.size(); ++i) pressures_mpa[i] *= wanted.at(lifts_mm[i]);
}

/// Where the factor bends, the deviation may have a peak: between two looks it is linear.
void addBends(const WantedFactor& wanted, const std::vector<double>& lifts_mm,
              std::vector<double>& between_mm) {
    if (wanted.changesNothing()) return;
    constexpr double same_lift_mm = 1e-6;
    for (const WantedPoint& point : wanted.points()) {
        const auto same = [&](double lift) { return std::abs(lift - point.lift_mm) < same_lift_mm; };
        const bool inside = point.lift_mm > lifts_mm.front() && point.lift_mm < lifts_mm.back();
        if (inside && std::none_of(lifts_mm.begin(), lifts_mm.end(), same) &&
            std::none_of(between_mm.begin(), between_mm.end(), same))
            between_mm.push_back(point.lift_mm);
    }
    std::sort(between_mm.begin(), between_mm.end());
}

} // namespace

double TargetCurve::weightAt(double lift_mm) const {
    if (!(low_speed_lift_mm > 0)) return 1;
    return lift_mm <= low_speed_lift_mm ? low_speed_weight : high_speed_weight;
}

TargetCurve unweighted(TargetCurve curve) {
    curve.low_speed_lift_mm = 0;
    std::fill(curve.weights.begin(), curve.weights.end(), 1.0);
    std::fill(curve.between_weights.begin(), curve.between_weights.end(), 1.0);
    return curve;
}

TargetCurve targetCurve(const SubstituteRules& rules, std::vector<double> lifts_mm,
                        std::vector<double> pressures_mpa) {
    TargetCurve curve;
    curve.lifts_mm = std::move(lifts_mm);
    curve.pressures_mpa = std::move(pressures_mpa);
    curve.low_speed_lift_mm = rules.low_speed_lift_mm;
    curve.low_speed_weight = rules.low_speed_weight;
    curve.high_speed_weight = rules.high_speed_weight;
    for (const double lift : curve.lifts_mm) curve.weights.push_back(curve.weightAt(lift));
    return curve;
}

TargetCurveOrReason computeTargetCurve(const SubstituteRequest& request, const GridOptions& grid) {
    const auto model = std::make_shared<TargetModel>(request, grid);
    const std::vector<double> lifts = comparisonLifts(request.rules.working_lift_mm);
    std::vector<double> found_mpa;
    const double friction_coefficient = frictionCoefficient(request.rules);
    if (friction_coefficient > 0) {
        const std::vector<DiscLevers> levers = discLevers(model->stack, model->grouped);
        model->friction = addedFriction(model->model, {model->grouped.sums, levers}, lifts, model->regime,
                                        friction_coefficient, model->workspace);
    }
    SolveReport solve = model->pressures(lifts, found_mpa);
    if (!solve.converged) return {std::nullopt, solve.reason};
    if (friction_coefficient > 0 && !model->friction)
        return {std::nullopt,
                "its edge sinks at a lift while the pressure rises, so what friction adds there is "
                "not known"};
    const WantedFactor wanted = request.rules.wanted.upTo(request.rules.working_lift_mm);
    multiply(wanted, lifts, found_mpa);
    TargetCurve curve = targetCurve(request.rules, lifts, found_mpa);
    for (std::size_t i = 1; i < lifts.size(); ++i) {
        for (int part = 1; part < looks_between; ++part)
            curve.between_mm.push_back(lifts[i - 1] + (lifts[i] - lifts[i - 1]) * part / looks_between);
    }
    addBends(wanted, lifts, curve.between_mm);
    solve = model->pressures(curve.between_mm, curve.between_mpa);
    if (!solve.converged) return {std::nullopt, solve.reason};
    multiply(wanted, curve.between_mm, curve.between_mpa);
    curve.wanted = wanted;
    for (const double lift : curve.between_mm) curve.between_weights.push_back(curve.weightAt(lift));
    curve.grid = grid;
    curve.friction_coefficient = friction_coefficient;
    curve.pressures_at = [model, wanted](const std::vector<double>& lifts_mm) {
        std::vector<double> at_mpa;
        if (!model->pressures(lifts_mm, at_mpa).converged) at_mpa.clear();
        if (!at_mpa.empty()) multiply(wanted, lifts_mm, at_mpa);
        return at_mpa;
    };
    return {std::move(curve), {}};
}

} // namespace shimledger::planner
