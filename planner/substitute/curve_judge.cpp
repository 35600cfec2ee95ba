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
    // The ends and two points between catch nearly all that the whole range would. The smallest lift comes
    // first: it is the cheapest to compute, and excludes most boxes by itself.
    const std::size_t last = m_lifts.size() - 1;
    m_few = {0, last, last / 3, 2 * last / 3};
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

double CurveJudge::lowerBound(std::span<const GroupSums> softest, std::span<const GroupSums> stiffest,
                              double enough) {
    double bound = 0;
    for (const std::size_t i : m_few) {
        const std::span<const double> lift(&m_lifts[i], 1);
        double soft = 0, stiff = 0;
        if (!m_model.pressuresAtLifts(softest, lift, m_regime, m_workspace, {&soft, 1}).converged ||
            !m_model.pressuresAtLifts(stiffest, lift, m_regime, m_workspace, {&stiff, 1}).converged) {
            continue; // nothing is known, so nothing is excluded
        }
        const double too_soft = 1 - stiff / m_target[i]; // even the stiffest is softer than the target
        const double too_stiff = soft / m_target[i] - 1;
        bound = std::max(bound, m_weights[i] * (std::max(too_soft, too_stiff) - margin));
        if (bound >= enough) break;
    }
    return bound;
}

} // namespace shimledger::planner
