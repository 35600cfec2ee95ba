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

/// Where the deviation may be larger than `most`. Between two lifts a curve that stiffens lies below its
/// chord and above the lines on through the points on either side, so the deviation there is at most that of
/// the one curve's chord from the other's lines, where these meet. Gaps that close at other lifts than the
/// target's make such peaks; the highest are looked at first.
std::vector<double> CurveJudge::possiblePeaks(const Points& points, double most) const {
    std::vector<std::pair<double, double>> peaks; // height, lift
    for (auto from = points.begin(), to = std::next(from); to != points.end(); ++from, ++to) {
        const double a = from->first, width = to->first - a;
        if (width < least_width_mm) continue;
        const double weight = std::max(m_target->weightAt(a), m_target->weightAt(to->first));
        for (const auto& [low, high] :
             {std::pair(&Point::target, &Point::stack), {&Point::stack, &Point::target}}) {
            const auto slope = [&, curve = low](const auto& x, const auto& y) {
                return (y.second.*curve - x.second.*curve) / (y.first - x.first);
            };
            const double chord = slope(*from, *to);
            const double before = from == points.begin() ? chord : slope(*std::prev(from), *from);
            const double after = std::next(to) == points.end() ? chord : slope(*to, *std::next(to));
            // Both lines meet here; where they are nearly one, anywhere will do.
            double meets = width / 2;
            if (after - before > 1e-9 * chord)
                meets = std::clamp((after - chord) / (after - before), 0.02, 0.98) * width;
            const double lines =
                std::max(from->second.*low + before * meets, to->second.*low - after * (width - meets));
            const double other = from->second.*high + (to->second.*high - from->second.*high) * meets / width;
            const double ratio = low == &Point::target ? other / lines : lines / other;
            const double height = weight * std::abs(ratio - 1);
            if (height > most + least_peak) peaks.emplace_back(height, a + meets);
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
    Points points;
    // Takes the stack's pressures at some lifts; false as soon as that settles it.
    const auto look = [&](const std::vector<double>& at_mm, const std::vector<double>& target_mpa,
                          std::vector<double>& found_mpa) {
        found_mpa.resize(at_mm.size());
        if (target_mpa.size() != at_mm.size() || !pressures(sums, at_mm, found_mpa)) return false;
        for (std::size_t i = 0; i < at_mm.size(); ++i) {
            points[at_mm[i]] = {target_mpa[i], found_mpa[i]};
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
    if (!m_target->between_mm.empty() && !look(m_target->between_mm, m_target->between_mpa, found_mpa))
        return verdict;
    for (int closer = 0; closer < closer_looks && m_target->pressures_at; ++closer) {
        const std::vector<double> peaks = possiblePeaks(points, verdict.deviation);
        if (peaks.empty()) break;
        if (!look(peaks, m_target->pressures_at(peaks), found_mpa)) return verdict;
    }
    verdict.kind = Verdict::Kind::measured;
    return verdict;
}

} // namespace shimledger::planner
