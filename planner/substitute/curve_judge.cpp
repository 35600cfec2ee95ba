#include "planner/substitute/curve_judge.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace shimledger::planner {

TargetCurve targetCurve(const SubstituteRules& rules, std::vector<double> lifts_mm,
                        std::vector<double> pressures_mpa) {
    TargetCurve curve{std::move(lifts_mm), std::move(pressures_mpa), {}};
    for (const double lift : curve.lifts_mm) {
        const bool low = rules.low_speed_lift_mm > 0 && lift <= rules.low_speed_lift_mm;
        const bool high = rules.low_speed_lift_mm > 0 && lift > rules.low_speed_lift_mm;
        curve.weights.push_back(low ? rules.low_speed_weight : high ? rules.high_speed_weight : 1.0);
    }
    return curve;
}

CurveJudge::CurveJudge(const ValveGeometry& valve, std::vector<GroupShape> shapes, Regime regime,
                       const TargetCurve& target)
    : m_model(valve, std::move(shapes)), m_workspace(m_model.makeWorkspace()), m_regime(regime),
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
    verdict.kind = Verdict::Kind::measured;
    for (std::size_t i = 0; i < lifts.size(); ++i)
        verdict.deviation = std::max(verdict.deviation, deviationAt(i, verdict.pressures_mpa[i]));
    return verdict;
}

} // namespace shimledger::planner
