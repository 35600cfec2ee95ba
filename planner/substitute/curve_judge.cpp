#include "planner/substitute/curve_judge.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace shimledger::planner {

CurveJudge::CurveJudge(const StackSpec& target, std::vector<GroupShape> shapes, const SubstituteRules& rules,
                       std::vector<double> lifts_mm, std::vector<double> target_pressures_mpa)
    : m_model(target.valve(), std::move(shapes)), m_workspace(m_model.makeWorkspace()),
      m_regime(rules.regime), m_lifts(std::move(lifts_mm)), m_target(std::move(target_pressures_mpa)) {
    for (const double lift : m_lifts) {
        const bool low = rules.low_speed_lift_mm > 0 && lift <= rules.low_speed_lift_mm;
        const bool high = rules.low_speed_lift_mm > 0 && lift > rules.low_speed_lift_mm;
        m_weights.push_back(low ? rules.low_speed_weight : high ? rules.high_speed_weight : 1.0);
    }
    // The ends and two points between catch nearly all that the whole range would.
    const std::size_t last = m_lifts.size() - 1;
    m_few = {0, last / 3, 2 * last / 3, last};
    m_few.erase(std::unique(m_few.begin(), m_few.end()), m_few.end());
    for (const std::size_t i : m_few) m_few_lifts.push_back(m_lifts[i]);
    m_few_soft.resize(m_few.size());
    m_few_stiff.resize(m_few.size());
}

std::optional<std::vector<double>> CurveJudge::pressures(std::span<const GroupSums> sums) {
    std::vector<double> result(m_lifts.size());
    if (!m_model.pressuresAtLifts(sums, m_lifts, m_regime, m_workspace, result).converged) return {};
    return result;
}

double CurveJudge::deviation(std::span<const double> pressures_mpa) const {
    double largest = 0;
    for (std::size_t i = 0; i < m_lifts.size(); ++i) {
        largest = std::max(largest, m_weights[i] * std::abs(pressures_mpa[i] / m_target[i] - 1));
    }
    return largest;
}

double CurveJudge::lowerBound(std::span<const GroupSums> softest, std::span<const GroupSums> stiffest) {
    if (!m_model.pressuresAtLifts(softest, m_few_lifts, m_regime, m_workspace, m_few_soft).converged ||
        !m_model.pressuresAtLifts(stiffest, m_few_lifts, m_regime, m_workspace, m_few_stiff).converged) {
        return 0; // nothing is known, so nothing is excluded
    }
    double bound = 0;
    for (std::size_t i = 0; i < m_few.size(); ++i) {
        const double target = m_target[m_few[i]];
        const double too_soft = 1 - m_few_stiff[i] / target; // even the stiffest is softer than the target
        const double too_stiff = m_few_soft[i] / target - 1;
        bound = std::max(bound, m_weights[m_few[i]] * (std::max(too_soft, too_stiff) - margin));
    }
    return bound;
}

} // namespace shimledger::planner
