// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/curve_judge.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <iterator>
#include <utility>

namespace shimledger::planner {

namespace {

// Of the search for the highest peak between two lifts.
constexpr double least_peak = 5e-5; // relative pressure
constexpr double least_width_mm = 1e-6;
constexpr std::size_t most_peaks = 7;
constexpr int closer_looks = 14;
constexpr double any_deviation = 1e300;

} // namespace

CurveJudge::CurveJudge(const ValveGeometry& valve, std::vector<GroupShape> shapes, Regime regime,
                       const TargetCurve& target)
    : m_model(valve, std::move(shapes), target.grid), m_workspace(m_model.makeWorkspace()), m_regime(regime),
      m_target(&target) {}

bool CurveJudge::pressures(const ComparedStack& stack, std::span<const double> lifts_mm,
                           std::span<double> pressures_mpa) {
    if (!smoothPressures(stack.sums, lifts_mm, pressures_mpa)) return false;
    if (m_target->friction_coefficient == 0) return true;
    const AddedFriction* friction = frictionOf(stack);
    for (std::size_t i = 0; friction && i < lifts_mm.size(); ++i)
        pressures_mpa[i] *= 1 + friction->at(lifts_mm[i]);
    return friction != nullptr;
}

/// One stack is looked at several times in a row.
const AddedFriction* CurveJudge::frictionOf(const ComparedStack& stack) {
    const auto same = [](const auto& known, const auto& asked) {
        return std::equal(known.begin(), known.end(), asked.begin(), asked.end());
    };
    if (m_known_sums.empty() || !same(m_known_sums, stack.sums) || !same(m_known_levers, stack.levers)) {
        m_known_sums.assign(stack.sums.begin(), stack.sums.end());
        m_known_levers.assign(stack.levers.begin(), stack.levers.end());
        m_known = addedFriction(m_model, stack, m_target->lifts_mm, m_regime, m_target->friction_coefficient,
                                m_workspace);
    }
    return m_known ? &*m_known : nullptr;
}

/// One of the target's lifts alone.
bool CurveJudge::pressureAt(const ComparedStack& stack, std::size_t lift, double& pressure_mpa) {
    const double& lift_mm = m_target->lifts_mm[lift];
    if (!smoothPressures(stack.sums, {&lift_mm, 1}, {&pressure_mpa, 1})) return false;
    if (m_target->friction_coefficient == 0) return true;
    const std::optional<AddedFriction> friction =
        addedFriction(m_model, stack, {&lift_mm, 1}, m_regime, m_target->friction_coefficient, m_workspace);
    if (friction) pressure_mpa *= 1 + friction->parts.front();
    return friction.has_value();
}

bool CurveJudge::frictionParts(const ComparedStack& stack, std::span<const double> lifts_mm,
                               std::vector<FrictionTerms>& parts) {
    std::vector<StackState> states;
    if (!m_model.statesAtLifts(stack.sums, lifts_mm, m_regime, m_workspace, states).converged) return false;
    const DiscFriction friction({stack.levers.begin(), stack.levers.end()}, stack.sums, m_model);
    parts.clear();
    for (const StackState& state : states) {
        if (!(state.lift_slope_mm_per_mpa > 0 && state.pressure_mpa > 0)) return false;
        FrictionTerms terms = friction.liftTerms(state, m_regime);
        const double per_mm =
            partOfPressure(m_target->friction_coefficient, state.lift_slope_mm_per_mpa, state.pressure_mpa);
        terms.constant_mm *= per_mm;
        for (DiscLevers& of_group : terms.of_group) of_group = of_group * per_mm;
        parts.push_back(std::move(terms));
    }
    return true;
}

bool CurveJudge::smoothPressures(std::span<const GroupSums> sums, std::span<const double> lifts_mm,
                                 std::span<double> pressures_mpa) {
    return m_model.pressuresAtLifts(sums, lifts_mm, m_regime, m_workspace, pressures_mpa).converged;
}

bool CurveJudge::elasticities(std::span<const GroupSums> sums, std::span<const double> lifts_mm,
                              std::span<double> pressures_mpa, std::span<double> elasticities) {
    return m_model.elasticitiesAtLifts(sums, lifts_mm, m_regime, m_workspace, pressures_mpa, elasticities)
        .converged;
}

double CurveJudge::deviationAt(std::size_t lift, double pressure_mpa) const {
    return m_target->weights[lift] * std::abs(pressure_mpa / m_target->pressures_mpa[lift] - 1);
}

/// Where the deviation may be larger than `most`. Where a gap closes, a contact moves on or one opens, a
/// curve goes from the line on through the points on one side to that on the other: somewhere between two
/// lifts, and at another place than the target's. So each lies between its two lines; the highest peaks that
/// leaves room for are looked at first.
std::vector<double> CurveJudge::possiblePeaks(const Points& points, double most) const {
    std::vector<std::pair<double, double>> peaks; // height, lift
    for (auto from = points.begin(), to = std::next(from); to != points.end(); ++from, ++to) {
        const double width = to->first - from->first;
        if (width < least_width_mm) continue;
        struct Lines {
            double before = 0, chord = 0, after = 0; // slopes
        };
        const auto lines = [&](double Point::*curve) {
            const auto slope = [&](const auto& x, const auto& y) {
                return (y.second.*curve - x.second.*curve) / (y.first - x.first);
            };
            Lines found;
            found.before = found.after = found.chord = slope(*from, *to);
            if (from != points.begin()) found.before = slope(*std::prev(from), *from);
            if (std::next(to) != points.end()) found.after = slope(*to, *std::next(to));
            return found;
        };
        const Lines target = lines(&Point::target), stack = lines(&Point::stack);
        double height = 0;
        for (const double x : {0.0, width / 2, width}) {
            // Between two points the factor is linear: it bends where one lies.
            const double wanted = std::lerp(from->second.factor, to->second.factor, x / width);
            const auto between = [&](const Lines& slopes, double start, double end) {
                return std::minmax({start + slopes.before * x, end - slopes.after * (width - x)});
            };
            const auto [least_own, most_own] = between(target, from->second.target, to->second.target);
            const double least_target = wanted * least_own, most_target = wanted * most_own;
            const auto [least_stack, most_stack] = between(stack, from->second.stack, to->second.stack);
            height = std::max(
                {height, std::abs(most_stack / least_target - 1), std::abs(least_stack / most_target - 1)});
        }
        height *= std::max(m_target->weightAt(from->first), m_target->weightAt(to->first));
        if (height <= most + least_peak) continue;
        // A single kink is where both lines meet.
        const Lines& kinked = std::abs(stack.after - stack.before) * from->second.target >
                                      std::abs(target.after - target.before) * from->second.stack
                                  ? stack
                                  : target;
        const double meets = (kinked.after - kinked.chord) / (kinked.after - kinked.before);
        const bool single =
            meets > 0.03 && meets < 0.97 && points.size() % 2 == 0; // else halved now and then
        peaks.emplace_back(height, from->first + (single ? meets : 0.5) * width);
    }
    std::sort(peaks.begin(), peaks.end(), std::greater<>());
    if (peaks.size() > most_peaks) peaks.resize(most_peaks);
    std::vector<double> lifts;
    lifts.reserve(peaks.size());
    for (const auto& peak : peaks) lifts.push_back(peak.second);
    std::sort(lifts.begin(), lifts.end());
    lifts.erase(std::unique(lifts.begin(), lifts.end()), lifts.end());
    return lifts;
}

CurveJudge::Verdict CurveJudge::weigh(const ComparedStack& stack, double limit, double closer_below) {
    const std::vector<double>& lifts = m_target->lifts_mm;
    // One lift costs a tenth of the curve; the ends of the range give most stacks away.
    for (const std::size_t lift : {std::size_t{0}, lifts.size() - 1}) {
        if (limit >= any_deviation) break; // nothing gives it away
        double pressure = 0;
        if (pressureAt(stack, lift, pressure) && deviationAt(lift, pressure) >= limit)
            return {Verdict::Kind::worse, 0, 0, {}};
    }
    Verdict verdict;
    Points points;
    // Takes the stack's pressures at some lifts; false as soon as that settles it.
    const auto look = [&](const std::vector<double>& at_mm, const std::vector<double>& target_mpa,
                          std::vector<double>& found_mpa) {
        found_mpa.resize(at_mm.size());
        if (target_mpa.size() != at_mm.size() || !pressures(stack, at_mm, found_mpa)) return false;
        for (std::size_t i = 0; i < at_mm.size(); ++i) {
            const double factor = m_target->wanted.at(at_mm[i]);
            points[at_mm[i]] = {target_mpa[i] / factor, found_mpa[i], factor};
            const double deviation =
                m_target->weightAt(at_mm[i]) * std::abs(found_mpa[i] / target_mpa[i] - 1);
            if (deviation <= verdict.deviation) continue;
            verdict.deviation = deviation;
            verdict.at_lift_mm = at_mm[i];
        }
        if (verdict.deviation >= limit) verdict.kind = Verdict::Kind::worse;
        return verdict.deviation < limit;
    };
    if (!look(lifts, m_target->pressures_mpa, verdict.pressures_mpa)) return verdict;
    std::vector<double> found_mpa;
    const bool between = verdict.deviation < closer_below && !m_target->between_mm.empty();
    if (between && !look(m_target->between_mm, m_target->between_mpa, found_mpa)) return verdict;
    const bool close = verdict.deviation < closer_below && m_target->pressures_at;
    for (int closer = 0; closer < closer_looks && close; ++closer) {
        const std::vector<double> peaks = possiblePeaks(points, verdict.deviation);
        if (peaks.empty()) break;
        if (!look(peaks, m_target->pressures_at(peaks), found_mpa)) return verdict;
    }
    verdict.kind = Verdict::Kind::measured;
    return verdict;
}

} // namespace shimledger::planner
