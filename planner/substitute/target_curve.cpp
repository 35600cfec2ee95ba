#include "planner/substitute/target_curve.h"

#include "planner/mechanics/lift_curve.h"
#include "planner/mechanics/lift_model.h"

#include <algorithm>
#include <memory>
#include <utility>

namespace shimledger::planner {

namespace {

constexpr int looks_between = 4; // parts of the way from one lift to the next

/// The target's model, for lifts that are asked for later.
struct TargetModel {
    TargetModel(const SubstituteRequest& request, const GridOptions& grid)
        : regime(request.rules.regime), grouped(groupStack(*request.target)),
          model(request.target->valve(), grouped.shapes, grid), workspace(model.makeWorkspace()) {}

    [[nodiscard]] SolveReport pressures(const std::vector<double>& lifts_mm, std::vector<double>& found_mpa) {
        found_mpa.assign(lifts_mm.size(), 0);
        return model.pressuresAtLifts(grouped.sums, lifts_mm, regime, workspace, found_mpa);
    }

    Regime regime;
    GroupedStack grouped;
    LiftModel model;
    LiftWorkspace workspace;
};

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
    SolveReport solve = model->pressures(lifts, found_mpa);
    if (!solve.converged) return {std::nullopt, solve.reason};
    TargetCurve curve = targetCurve(request.rules, lifts, found_mpa);
    for (std::size_t i = 1; i < lifts.size(); ++i) {
        for (int part = 1; part < looks_between; ++part)
            curve.between_mm.push_back(lifts[i - 1] + (lifts[i] - lifts[i - 1]) * part / looks_between);
    }
    solve = model->pressures(curve.between_mm, curve.between_mpa);
    if (!solve.converged) return {std::nullopt, solve.reason};
    for (const double lift : curve.between_mm) curve.between_weights.push_back(curve.weightAt(lift));
    curve.grid = grid;
    curve.pressures_at = [model](const std::vector<double>& lifts_mm) {
        std::vector<double> at_mpa;
        if (!model->pressures(lifts_mm, at_mpa).converged) at_mpa.clear();
        return at_mpa;
    };
    return {std::move(curve), {}};
}

} // namespace shimledger::planner
