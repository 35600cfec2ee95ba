#include "planner/substitute/target_curve.h"

#include "planner/mechanics/lift_curve.h"
#include "planner/mechanics/lift_model.h"

#include <utility>

namespace shimledger::planner {

namespace {

constexpr int looks_between = 4;    // parts of the way from one lift to the next ...
constexpr int looks_at_bend = 12;   // ... where a gap of the target closes
constexpr double sharp_bend = 0.15; // change of the slope from one interval to the next, as a part of it

double weightAt(const SubstituteRules& rules, double lift_mm) {
    if (!(rules.low_speed_lift_mm > 0)) return 1;
    return lift_mm <= rules.low_speed_lift_mm ? rules.low_speed_weight : rules.high_speed_weight;
}

/// By interval (its upper lift): whether the slope jumps at one of its ends more than it does from bending
/// alone. Gaps of a stack that is nearly the target close there too, yet a little earlier or later.
std::vector<bool> bendingIntervals(const std::vector<double>& w, const std::vector<double>& p) {
    std::vector<bool> bends(w.size(), false);
    for (std::size_t i = 2; i + 1 < w.size(); ++i) {
        const double before = (p[i] - p[i - 1]) / (w[i] - w[i - 1]);
        const double after = (p[i + 1] - p[i]) / (w[i + 1] - w[i]);
        if (after > before * (1 + sharp_bend)) bends[i] = bends[i + 1] = true;
    }
    return bends;
}

} // namespace

TargetCurve targetCurve(const SubstituteRules& rules, std::vector<double> lifts_mm,
                        std::vector<double> pressures_mpa) {
    TargetCurve curve;
    curve.lifts_mm = std::move(lifts_mm);
    curve.pressures_mpa = std::move(pressures_mpa);
    for (const double lift : curve.lifts_mm) curve.weights.push_back(weightAt(rules, lift));
    return curve;
}

TargetCurveOrReason computeTargetCurve(const SubstituteRequest& request, const GridOptions& grid) {
    const GroupedStack grouped = groupStack(*request.target);
    const LiftModel model(request.target->valve(), grouped.shapes, grid);
    LiftWorkspace workspace = model.makeWorkspace();
    std::string reason;
    const auto pressures = [&](const std::vector<double>& lifts_mm) {
        std::vector<double> found_mpa(lifts_mm.size());
        const SolveReport solve =
            model.pressuresAtLifts(grouped.sums, lifts_mm, request.rules.regime, workspace, found_mpa);
        if (!solve.converged) reason = solve.reason;
        return found_mpa;
    };
    const std::vector<double> lifts = comparisonLifts(request.rules.working_lift_mm);
    TargetCurve curve = targetCurve(request.rules, lifts, pressures(lifts));
    const std::vector<bool> bends = bendingIntervals(curve.lifts_mm, curve.pressures_mpa);
    for (std::size_t i = 1; i < lifts.size(); ++i) {
        const int parts = bends[i] ? looks_at_bend : looks_between;
        for (int part = 1; part < parts; ++part) {
            const double lift = lifts[i - 1] + (lifts[i] - lifts[i - 1]) * part / parts;
            curve.between_mm.push_back(lift);
            curve.between_weights.push_back(weightAt(request.rules, lift));
        }
    }
    curve.between_mpa = pressures(curve.between_mm);
    curve.grid = grid;
    if (!reason.empty()) return {std::nullopt, reason};
    return {std::move(curve), {}};
}

} // namespace shimledger::planner
