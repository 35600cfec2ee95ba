#include "planner/substitute/curve_judge.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace shimledger::planner {

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

CurveJudge::Verdict CurveJudge::weigh(std::span<const GroupSums> sums, double limit) {
    const std::vector<double>& lifts = m_target->lifts_mm;
    // One lift costs a tenth of the curve; the ends of the range give most stacks away.
    for (const std::size_t lift : {std::size_t{0}, lifts.size() - 1}) {
        double pressure = 0;
        if (pressures(sums, {&lifts[lift], 1}, {&pressure, 1}) && deviationAt(lift, pressure) >= limit)
            return {Verdict::Kind::worse, 0, {}};
    }
    Verdict verdict;
    verdict.pressures_mpa.resize(lifts.size());
    if (!pressures(sums, lifts, verdict.pressures_mpa)) return verdict;
    for (std::size_t i = 0; i < lifts.size(); ++i)
        verdict.deviation = std::max(verdict.deviation, deviationAt(i, verdict.pressures_mpa[i]));
    if (verdict.deviation >= limit) return {Verdict::Kind::worse, 0, {}};
    const std::vector<double>& between = m_target->between_mm;
    std::vector<double> found_mpa(between.size());
    if (!between.empty() && !pressures(sums, between, found_mpa)) return verdict;
    for (std::size_t i = 0; i < between.size(); ++i) {
        const double off = std::abs(found_mpa[i] / m_target->between_mpa[i] - 1);
        verdict.deviation = std::max(verdict.deviation, m_target->between_weights[i] * off);
    }
    verdict.kind = Verdict::Kind::measured;
    return verdict;
}

} // namespace shimledger::planner
