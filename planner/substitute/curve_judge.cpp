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
constexpr std::size_t most_peaks = 3;
constexpr int closer_looks = 16;

} // namespace

CurveJudge::CurveJudge(const ValveGeometry& valve, std::vector<GroupShape> shapes, Regime regime,
                       const TargetCurve& target)
    : m_model(valve, std::move(shapes), target.grid), m_workspace(m_model.makeWorkspace()), m_regime(regime),
      m_target(&target) {}

bool CurveJudge::pressures(std::span<const GroupSums> sums, std::span<const double> lifts_mm,
                           std::span<double> pressures_mpa) {
    return m_model.pressuresAtLifts(sums, lifts_mm, m_regime, m_workspace, pressures_mpa).converged;
}

double CurveJudge::deviationAt(std::size_t lift, double pressure_mpa) const {
    return m_target->weights[lift] * std::abs(pressure_mpa / m_target->pressures_mpa[lift] - 1);
}

/// Where the deviation may be larger than `most`: in those intervals where the line on through the points on
/// either side gets there, at the point where both lines meet. Gaps that close at other lifts than the
/// target's make such peaks; the highest are looked at first.
std::vector<double> CurveJudge::possiblePeaks(const Deviations& off, double most) const {
    std::vector<std::pair<double, double>> peaks; // height, lift
    for (const double sign : {1.0, -1.0}) {
        const auto slope = [&](const auto& a, const auto& b) {
            return sign * (b.second - a.second) / (b.first - a.first);
        };
        for (auto from = off.begin(), to = std::next(from); to != off.end(); ++from, ++to) {
            const double width = to->first - from->first;
            if (width < least_width_mm) continue;
            const bool first = from == off.begin(), last = std::next(to) == off.end();
            const double rise = first ? 0 : slope(*std::prev(from), *from);
            const double fall = last ? 0 : -slope(*to, *std::next(to));
            const double height =
                std::max(sign * from->second + rise * width, sign * to->second + fall * width);
            const double weight = std::max(m_target->weightAt(from->first), m_target->weightAt(to->first));
            if (weight * height <= most + least_peak) continue;
            // From the left by where both lines meet.
            double meets = width / 2;
            if (!first && !last && rise + fall > 0) {
                const double meet = (sign * (to->second - from->second) + fall * width) / (rise + fall);
                if (meet > 0.02 * width && meet < 0.98 * width) meets = meet;
            }
            peaks.emplace_back(weight * height, from->first + meets);
        }
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

CurveJudge::Verdict CurveJudge::weigh(std::span<const GroupSums> sums, double limit) {
    const std::vector<double>& lifts = m_target->lifts_mm;
    // One lift costs a tenth of the curve; the ends of the range give most stacks away.
    for (const std::size_t lift : {std::size_t{0}, lifts.size() - 1}) {
        double pressure = 0;
        if (pressures(sums, {&lifts[lift], 1}, {&pressure, 1}) && deviationAt(lift, pressure) >= limit)
            return {Verdict::Kind::worse, 0, 0, {}};
    }
    Verdict verdict;
    Deviations off;
    // Takes the stack's pressures at some lifts; false as soon as that settles it.
    const auto look = [&](const std::vector<double>& at_mm, const std::vector<double>& target_mpa,
                          std::vector<double>& found_mpa) {
        found_mpa.resize(at_mm.size());
        if (target_mpa.size() != at_mm.size() || !pressures(sums, at_mm, found_mpa)) return false;
        for (std::size_t i = 0; i < at_mm.size(); ++i) {
            off[at_mm[i]] = found_mpa[i] / target_mpa[i] - 1;
            const double deviation = m_target->weightAt(at_mm[i]) * std::abs(off[at_mm[i]]);
            if (deviation <= verdict.deviation) continue;
            verdict.deviation = deviation;
            verdict.at_lift_mm = at_mm[i];
        }
        if (verdict.deviation >= limit) verdict.kind = Verdict::Kind::worse;
        return verdict.deviation < limit;
    };
    if (!look(lifts, m_target->pressures_mpa, verdict.pressures_mpa)) return verdict;
    std::vector<double> found_mpa;
    if (!m_target->between_mm.empty() && !look(m_target->between_mm, m_target->between_mpa, found_mpa))
        return verdict;
    for (int closer = 0; closer < closer_looks && m_target->pressures_at; ++closer) {
        const std::vector<double> peaks = possiblePeaks(off, verdict.deviation);
        if (peaks.empty()) break;
        if (!look(peaks, m_target->pressures_at(peaks), found_mpa)) return verdict;
    }
    verdict.kind = Verdict::Kind::measured;
    return verdict;
}

} // namespace shimledger::planner
