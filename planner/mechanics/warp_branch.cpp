#include "planner/mechanics/warp_branch.h"

#include "planner/mechanics/lobed_stack.h"

#include <algorithm>
#include <cmath>

namespace shimledger::planner {

namespace {

constexpr double branch_start = 0.8;    // of the onset pressure: below it the rim is round
constexpr double largest_step = 0.08;   // of the onset pressure
constexpr double smallest_step = 0.002; // of the onset pressure: the branch is lost
constexpr double sure_margin = 1.02;    // look for the onset a little beyond the last lift

/// From the present pressure of the branch to `target`, in steps that shrink where Newton fails.
bool follow(LobedStack& branch, double target, double onset_pressure) {
    double step = largest_step * onset_pressure;
    while (branch.pressure() < target) {
        const double next = std::min(target, branch.pressure() + step);
        if (branch.toPressure(next)) {
            step = std::min(2 * step, largest_step * onset_pressure);
        } else {
            step /= 2;
            if (step < smallest_step * onset_pressure) return false;
        }
    }
    return true;
}

} // namespace

WarpCurve warpedLifts(const StackSpec& stack, std::span<const double> pressures_mpa) {
    WarpCurve curve;
    const GroupedStack grouped = groupStack(stack);
    const LiftModel model(stack.valve(), grouped.shapes);
    LiftWorkspace workspace = model.makeWorkspace();
    std::vector<double> lifts(pressures_mpa.size());
    const SolveReport round =
        model.liftsAtPressures(grouped.sums, pressures_mpa, Regime::large, workspace, lifts);
    if (!round.converged) {
        curve.reason = round.reason;
        return curve;
    }
    const double last_lift = lifts.empty() ? 0 : lifts.back();
    if (last_lift > 0) {
        const WarpOnsetResult found = findWarpOnset(stack, sure_margin * last_lift);
        curve.caution = found.caution;
        if (!found.converged) {
            curve.reason = found.reason;
            return curve;
        }
        if (found.onset && found.onset->pressure_mpa < pressures_mpa.back()) curve.onset = found.onset;
    }
    std::optional<LobedStack> branch;
    for (std::size_t i = 0; i < pressures_mpa.size(); ++i) {
        if (!curve.onset || pressures_mpa[i] <= branch_start * curve.onset->pressure_mpa) {
            curve.points.push_back({pressures_mpa[i], lifts[i], lifts[i], lifts[i]});
            continue;
        }
        const double onset_pressure = curve.onset->pressure_mpa;
        if (!branch) branch.emplace(stack, grouped, curve.onset->lobes, branch_start * onset_pressure);
        if (!branch->started() || !follow(*branch, pressures_mpa[i], onset_pressure)) {
            curve.reason = "the warped branch was lost before " +
                           Length::fromMicrometres(std::llround(pressures_mpa[i] * 1000)).text(3) + " MPa";
            return curve;
        }
        const LobedStack::Rim rim = branch->rim();
        curve.points.push_back({pressures_mpa[i], rim.mean_mm, rim.min_mm, rim.max_mm});
    }
    curve.converged = true;
    return curve;
}

WarpCurve warpedCurveOverLift(const StackSpec& stack, double lift_mm, int points) {
    const GroupedStack grouped = groupStack(stack);
    const LiftModel model(stack.valve(), grouped.shapes);
    LiftWorkspace workspace = model.makeWorkspace();
    const std::vector<double> lifts{lift_mm / 2, lift_mm};
    std::vector<double> pressures(2);
    const SolveReport round =
        model.pressuresAtLifts(grouped.sums, lifts, Regime::large, workspace, pressures);
    if (!round.converged) {
        WarpCurve curve;
        curve.reason = round.reason;
        return curve;
    }
    // A warped stack is softer than the round one, so the round one's last pressure is never too small.
    std::vector<double> steps;
    for (int i = 1; i <= points; ++i) steps.push_back(pressures.back() * i / points);
    WarpCurve curve = warpedLifts(stack, steps);
    const auto beyond = std::find_if(curve.points.begin(), curve.points.end(),
                                     [&](const WarpPoint& point) { return point.mean_lift_mm >= lift_mm; });
    if (beyond != curve.points.end()) {
        curve.points.erase(beyond + 1, curve.points.end());
        curve.converged = true;
        curve.reason.clear();
    }
    return curve;
}

} // namespace shimledger::planner
