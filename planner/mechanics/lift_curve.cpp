// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/lift_curve.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

namespace shimledger::planner {

LiftCurve::LiftCurve(std::vector<LiftPoint> points) : m_points(std::move(points)) {
    for (std::size_t i = 1; i < m_points.size(); ++i) {
        if (!(m_points[i].pressure_mpa >= m_points[i - 1].pressure_mpa))
            throw std::logic_error("the points of a lift curve must ascend in pressure");
    }
    // The rising part: from the end back to where the lift was least.
    for (auto point = m_points.rbegin(); point != m_points.rend(); ++point) {
        if (m_knots.empty() || point->lift_mm < m_knots.back().lift_mm) {
            m_knots.push_back(*point);
        } else if (point->lift_mm > m_knots.back().lift_mm) {
            break;
        }
    }
    if (!m_knots.empty() && m_knots.back().lift_mm > 0) m_knots.emplace_back();
    std::reverse(m_knots.begin(), m_knots.end());
    const std::size_t count = m_knots.size();
    m_slopes.assign(count, 0.0);
    const auto chord = [&](std::size_t i) {
        return (m_knots[i + 1].pressure_mpa - m_knots[i].pressure_mpa) /
               (m_knots[i + 1].lift_mm - m_knots[i].lift_mm);
    };
    for (std::size_t i = 1; i < count; ++i) {
        const double response = m_knots[i].lift_slope_mm_per_mpa;
        m_slopes[i] = response > 0 ? 1 / response : chord(i - 1);
    }
    if (count > 1) m_slopes[0] = chord(0);
    for (std::size_t i = 0; i < count; ++i) {
        // A cubic rises between knots when neither end is steeper than three times the chord.
        double limit = std::abs(m_slopes[i]);
        if (i > 0) limit = std::min(limit, 3 * std::max(0.0, chord(i - 1)));
        if (i + 1 < count) limit = std::min(limit, 3 * std::max(0.0, chord(i)));
        m_slopes[i] = limit;
    }
}

double LiftCurve::pressureAt(double lift_mm) const {
    if (m_knots.size() < 2 || !(lift_mm >= 0) || lift_mm < m_knots.front().lift_mm ||
        lift_mm > m_knots.back().lift_mm * (1 + 1e-12)) {
        throw std::logic_error("the lift curve does not reach this lift");
    }
    std::size_t upper = 1;
    while (upper + 1 < m_knots.size() && m_knots[upper].lift_mm < lift_mm) ++upper;
    const LiftPoint& a = m_knots[upper - 1];
    const LiftPoint& b = m_knots[upper];
    const double h = b.lift_mm - a.lift_mm;
    const double s = std::min(1.0, (lift_mm - a.lift_mm) / h);
    const double s2 = s * s;
    const double s3 = s2 * s;
    return (1 - 3 * s2 + 2 * s3) * a.pressure_mpa + h * (s - 2 * s2 + s3) * m_slopes[upper - 1] +
           (3 * s2 - 2 * s3) * b.pressure_mpa + h * (s3 - s2) * m_slopes[upper];
}

CurveDeviation compareCurves(std::span<const double> lifts_mm, std::span<const double> target_pressures_mpa,
                             std::span<const double> pressures_mpa) {
    if (lifts_mm.empty() || lifts_mm.size() != target_pressures_mpa.size() ||
        lifts_mm.size() != pressures_mpa.size()) {
        throw std::logic_error("curves are compared at the same lifts, of which there must be some");
    }
    CurveDeviation deviation;
    deviation.at_lift_mm = lifts_mm.front();
    for (std::size_t i = 0; i < lifts_mm.size(); ++i) {
        const double difference = pressures_mpa[i] / target_pressures_mpa[i] - 1;
        if (std::abs(difference) > deviation.max_deviation) {
            deviation.max_deviation = std::abs(difference);
            deviation.signed_deviation = difference;
            deviation.at_lift_mm = lifts_mm[i];
        }
    }
    deviation.small_lift_ratio = pressures_mpa.front() / target_pressures_mpa.front();
    deviation.full_lift_ratio = pressures_mpa.back() / target_pressures_mpa.back();
    return deviation;
}

std::vector<double> comparisonLifts(double working_lift_mm, int count) {
    if (!(working_lift_mm > 0) || count < 1) throw std::logic_error("a working range needs a lift above 0");
    std::vector<double> lifts{working_lift_mm * 1e-4};
    for (int i = 1; i <= count; ++i) lifts.push_back(working_lift_mm * i / count);
    return lifts;
}

} // namespace shimledger::planner
