#include "planner/mechanics/warp_branch.h"

#include "planner/mechanics/lift_curve.h"
#include "planner/mechanics/lobed_stack.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace shimledger::planner {

namespace {

constexpr double branch_start = 0.8;        // of the onset pressure: below it the rim is round
constexpr double largest_step = 0.08;       // of the onset pressure
constexpr double smallest_step = 0.002;     // of the onset pressure: the branch is lost
constexpr double most_onset_loads = 20;     // far past all that was checked
constexpr int most_looks = 6;               // each at least halves the pressure
constexpr double checked_onset_loads = 1.5; // against finite elements
constexpr double sure_margin = 1.02;        // look for the onset a little beyond the last lift

std::string threeDecimals(double value) {
    return Length::fromMicrometres(std::llround(value * 1000)).text(3);
}

void addCaution(std::string& caution, const std::optional<WarpOnset>& onset, double last_pressure_mpa) {
    if (!onset || last_pressure_mpa <= checked_onset_loads * onset->pressure_mpa) return;
    if (!caution.empty()) caution += ' ';
    caution += "Past " + threeDecimals(checked_onset_loads * onset->pressure_mpa) +
               " MPa, 1.5 times the load at which warping begins, the warped curve was not checked.";
}

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

/// The curve through points whose slopes are those of parabolas through three neighbours.
LiftCurve smoothCurve(std::vector<LiftPoint> points) {
    LiftPoint before; // rest
    for (std::size_t i = 0; i < points.size(); ++i) {
        LiftPoint& point = points[i];
        const double step = point.pressure_mpa - before.pressure_mpa;
        const double chord = (point.lift_mm - before.lift_mm) / step;
        point.lift_slope_mm_per_mpa = chord;
        if (i + 1 < points.size()) {
            const double next_step = points[i + 1].pressure_mpa - point.pressure_mpa;
            const double next_chord = (points[i + 1].lift_mm - point.lift_mm) / next_step;
            point.lift_slope_mm_per_mpa = (chord * next_step + next_chord * step) / (step + next_step);
        }
        before = point;
    }
    return LiftCurve(std::move(points));
}

/// Takes the branch from its start until its mean lift passes `last_lift`; false where it is lost before.
bool followPastLift(LobedStack& branch, double last_lift, double onset_pressure,
                    std::vector<LiftPoint>& points) {
    bool followed = branch.started();
    while (followed) {
        const LiftPoint point{branch.pressure(), branch.rim().mean_mm, 0};
        if (points.empty() ||
            (point.lift_mm > points.back().lift_mm && point.pressure_mpa > points.back().pressure_mpa)) {
            points.push_back(point);
        }
        if (point.lift_mm >= last_lift) return true;
        if (point.pressure_mpa > most_onset_loads * onset_pressure) return false;
        followed = follow(branch, branch.pressure() + largest_step * onset_pressure, onset_pressure);
    }
    return false;
}

} // namespace

WarpPressures warpedPressures(const StackSpec& stack, std::span<const double> lifts_mm) {
    WarpPressures result;
    const GroupedStack grouped = groupStack(stack);
    const LiftModel model(stack.valve(), grouped.shapes);
    LiftWorkspace workspace = model.makeWorkspace();
    std::vector<double> round(lifts_mm.size());
    const SolveReport solve = model.pressuresAtLifts(grouped.sums, lifts_mm, Regime::large, workspace, round);
    if (!solve.converged) {
        result.reason = solve.reason;
        return result;
    }
    const WarpOnsetResult found = findWarpOnset(stack, lifts_mm.back());
    result.caution = found.caution;
    result.reason = found.reason;
    result.onset = found.onset;
    result.converged = found.converged;
    if (!found.onset) {
        if (found.converged) result.pressures_mpa = std::move(round);
        return result;
    }
    const double start = branch_start * found.onset->pressure_mpa;
    std::vector<LiftPoint> points;
    for (std::size_t i = 0; i < round.size() && round[i] < start; ++i)
        points.push_back({round[i], lifts_mm[i], 0});
    LobedStack branch(stack, grouped, found.onset->lobes, start);
    result.converged = followPastLift(branch, lifts_mm.back(), found.onset->pressure_mpa, points);
    if (!result.converged) {
        result.reason = "the warped branch was lost at " +
                        threeDecimals(points.empty() ? 0 : points.back().lift_mm) + " mm of lift";
    }
    if (points.empty()) return result;
    const LiftCurve curve = smoothCurve(std::move(points));
    for (const double lift : lifts_mm) {
        if (lift > curve.greatestLift()) break;
        result.pressures_mpa.push_back(curve.pressureAt(lift));
    }
    if (!result.pressures_mpa.empty()) addCaution(result.caution, result.onset, result.pressures_mpa.back());
    return result;
}

namespace {

/// Points at the pressures, up to the first whose mean lift is `enough_mm`.
WarpCurve liftsUpTo(const StackSpec& stack, std::span<const double> pressures_mpa, double enough_mm) {
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
        if (pressures_mpa[i] > most_onset_loads * onset_pressure) {
            curve.reason = "nothing is known past " + threeDecimals(most_onset_loads * onset_pressure) +
                           " MPa, 20 times the load at which warping begins";
            return curve;
        }
        if (!branch) branch.emplace(stack, grouped, curve.onset->lobes, branch_start * onset_pressure);
        if (!branch->started() || !follow(*branch, pressures_mpa[i], onset_pressure)) {
            curve.reason = "the warped branch was lost before " + threeDecimals(pressures_mpa[i]) + " MPa";
            return curve;
        }
        const LobedStack::Rim rim = branch->rim();
        curve.points.push_back({pressures_mpa[i], rim.mean_mm, rim.min_mm, rim.max_mm});
        if (rim.mean_mm >= enough_mm) break;
    }
    curve.converged = true;
    return curve;
}

} // namespace

WarpCurve warpedLifts(const StackSpec& stack, std::span<const double> pressures_mpa) {
    WarpCurve curve = liftsUpTo(stack, pressures_mpa, std::numeric_limits<double>::infinity());
    if (!curve.points.empty()) addCaution(curve.caution, curve.onset, curve.points.back().pressure_mpa);
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
    // A warped stack is softer than the round one, so the round one's last pressure is never too small. Where
    // it is far too large, few points are left: then once more up to where the first look ended.
    WarpCurve curve;
    double last = pressures.back();
    for (int look = 0; look < most_looks; ++look) {
        std::vector<double> steps;
        for (int i = 1; i <= points; ++i) steps.push_back(last * i / points);
        curve = liftsUpTo(stack, steps, lift_mm);
        if (!curve.converged || static_cast<int>(curve.points.size()) > points / 2) break;
        last = curve.points.back().pressure_mpa;
    }
    if (!curve.points.empty()) addCaution(curve.caution, curve.onset, curve.points.back().pressure_mpa);
    return curve;
}

} // namespace shimledger::planner
