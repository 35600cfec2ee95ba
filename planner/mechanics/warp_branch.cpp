// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/warp_branch.h"

#include "planner/mechanics/lift_curve.h"
#include "planner/mechanics/pressure_text.h"
#include "planner/mechanics/warp_follower.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace shimledger::planner {

namespace {

constexpr double widest_round_step_mm = 0.05;
// Past the onset the mean lift rises by about this part of what it has risen by on average up to there; it
// only sets how many points a curve gets.
constexpr double softening = 0.8;

std::string threeDecimals(double value) {
    return Length::fromMicrometres(std::llround(value * 1000)).text(3);
}

void addCaution(std::string& caution, const std::optional<WarpOnset>& onset, double last_pressure_mpa) {
    if (!onset || last_pressure_mpa <= checked_onset_loads * onset->pressure_mpa) return;
    if (!caution.empty()) caution += ' ';
    caution += "Past " + pressureText(checked_onset_loads * onset->pressure_mpa) +
               " MPa, 1.5 times the load at which warping begins, the warped curve was not checked.";
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
bool followPastLift(WarpFollower& follower, double last_lift, std::vector<LiftPoint>& points) {
    bool followed = follower.follow(follower.roundUpToMpa());
    while (followed) {
        const LiftPoint point{follower.pressure(), follower.rim().mean_mm, 0};
        if (points.empty() ||
            (point.lift_mm > points.back().lift_mm && point.pressure_mpa > points.back().pressure_mpa)) {
            points.push_back(point);
        }
        if (point.lift_mm >= last_lift) return true;
        followed = follower.followOneStep();
    }
    return false;
}

/// Ends a curve early.
void end(WarpCurve& curve, const std::string& reason) {
    curve.converged = false;
    curve.reason = reason;
}

/// Adds the points at which the rim is round.
void addRound(WarpCurve& curve, WarpFollower& follower, std::span<const double> pressures_mpa) {
    std::vector<double> lifts(pressures_mpa.size());
    const SolveReport solve = follower.roundLifts(pressures_mpa, lifts);
    for (std::size_t i = 0; i < lifts.size(); ++i) {
        if (!solve.converged && pressures_mpa[i] > 0 && lifts[i] == 0) break;
        curve.points.push_back({pressures_mpa[i], lifts[i], lifts[i], lifts[i]});
    }
    if (!solve.converged) end(curve, solve.reason);
}

/// Adds the branch's next point; false where it is lost.
bool addWarped(WarpCurve& curve, WarpFollower& follower, double pressure_mpa) {
    if (!follower.follow(pressure_mpa)) {
        end(curve, follower.reason());
        return false;
    }
    const LobedStack::Rim rim = follower.rim();
    curve.points.push_back({pressure_mpa, rim.mean_mm, rim.min_mm, rim.max_mm});
    return true;
}

} // namespace

WarpPressures warpedPressures(const StackSpec& stack, std::span<const double> lifts_mm) {
    WarpPressures result;
    WarpFollower follower(stack);
    follower.roundOverLifts(lifts_mm);
    result.caution = follower.caution();
    result.onset = follower.onset();
    if (!result.onset) {
        result.converged = follower.solve().converged;
        result.reason = follower.solve().reason;
        for (const StackState& state : follower.states()) result.pressures_mpa.push_back(state.pressure_mpa);
        return result;
    }
    std::vector<LiftPoint> points;
    for (const StackState& state : follower.states()) {
        if (state.pressure_mpa >= follower.roundUpToMpa()) break;
        points.push_back({state.pressure_mpa, state.lift_mm, 0});
    }
    result.converged = followPastLift(follower, lifts_mm.back(), points);
    if (!result.converged) {
        result.reason = "the warped branch ends at " +
                        threeDecimals(points.empty() ? 0 : points.back().lift_mm) +
                        " mm of lift: " + follower.reason();
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

WarpCurve warpedLifts(const StackSpec& stack, std::span<const double> pressures_mpa) {
    WarpFollower follower(stack);
    follower.roundOverPressures(pressures_mpa);
    WarpCurve curve;
    curve.converged = true;
    curve.caution = follower.caution();
    curve.onset = follower.onset();
    const auto warped = std::upper_bound(pressures_mpa.begin(), pressures_mpa.end(), follower.roundUpToMpa());
    addRound(curve, follower, {pressures_mpa.begin(), warped});
    for (auto pressure = warped; pressure != pressures_mpa.end() && curve.converged; ++pressure)
        static_cast<void>(addWarped(curve, follower, *pressure));
    if (!curve.points.empty()) addCaution(curve.caution, curve.onset, curve.points.back().pressure_mpa);
    return curve;
}

WarpCurve warpedCurveOverLift(const StackSpec& stack, double lift_mm, int points) {
    WarpFollower follower(stack);
    std::vector<double> lifts;
    const int steps = std::max(2, static_cast<int>(std::ceil(lift_mm / widest_round_step_mm)));
    for (int i = 1; i <= steps; ++i) lifts.push_back(lift_mm * i / steps);
    follower.roundOverLifts(lifts);
    WarpCurve curve;
    curve.caution = follower.caution();
    curve.onset = follower.onset();
    if (!follower.solve().converged && !curve.onset) {
        curve.reason = follower.solve().reason;
        return curve;
    }
    curve.converged = true;
    // A warped stack is softer than the round one, so the round one's last pressure is never too small.
    const double sure = follower.solve().converged ? follower.states().back().pressure_mpa
                                                   : std::numeric_limits<double>::infinity();
    double last = sure;
    if (const std::optional<WarpOnset>& onset = curve.onset) {
        const double rate = softening * onset->lift_mm / onset->pressure_mpa;
        last = std::min(
            {sure, onset->pressure_mpa + (lift_mm - onset->lift_mm) / rate, follower.knownUpToMpa()});
    }
    const double round_up_to = std::min(last, follower.roundUpToMpa());
    std::vector<double> pressures;
    int next = 1;
    for (; next <= points && last * next / points <= round_up_to; ++next)
        pressures.push_back(last * next / points);
    addRound(curve, follower, pressures);
    while (curve.converged && curve.onset) {
        const double pressure = std::min(sure, last * next++ / points);
        if (!addWarped(curve, follower, pressure)) break;
        if (curve.points.back().mean_lift_mm >= lift_mm || pressure >= sure) break;
    }
    if (!curve.points.empty()) addCaution(curve.caution, curve.onset, curve.points.back().pressure_mpa);
    return curve;
}

} // namespace shimledger::planner
