// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/damping/opening_curve.h"

#include <algorithm>
#include <stdexcept>
#include <utility>

namespace shimledger::planner {

namespace {

/// Slopes of one of the two columns, held to three times the chords beside them.
void limitSlopes(std::vector<OpeningKnot>& knots, double Opening::*column) {
    const auto chord = [&](std::size_t i) {
        return (knots[i + 1].opening.*column - knots[i].opening.*column) /
               (knots[i + 1].pressure_mpa - knots[i].pressure_mpa);
    };
    for (std::size_t i = 0; i < knots.size(); ++i) {
        double& slope = knots[i].slope.*column;
        slope = std::max(0.0, slope);
        if (i > 0) slope = std::min(slope, 3 * std::max(0.0, chord(i - 1)));
        if (i + 1 < knots.size()) slope = std::min(slope, 3 * std::max(0.0, chord(i)));
    }
}

} // namespace

OpeningCurve::OpeningCurve(double metering_radius_mm, std::vector<OpeningKnot> knots)
    : m_metering_radius_mm(metering_radius_mm), m_knots(std::move(knots)) {
    m_knots.insert(m_knots.begin(), OpeningKnot{});
    if (m_knots.size() < 2 || !(metering_radius_mm > 0)) throw std::logic_error("an opening needs points");
    for (std::size_t i = 1; i < m_knots.size(); ++i) {
        if (!(m_knots[i].pressure_mpa > m_knots[i - 1].pressure_mpa) ||
            m_knots[i].opening.gap_mm < m_knots[i - 1].opening.gap_mm)
            throw std::logic_error("the points of an opening must ascend in pressure and in gap");
    }
    // At rest the curve leaves as it comes into the first point, which lies close by.
    const OpeningKnot& first = m_knots[1];
    m_knots.front().slope = {first.opening.gap_mm / first.pressure_mpa,
                             first.opening.lift_mm / first.pressure_mpa};
    limitSlopes(m_knots, &Opening::gap_mm);
    limitSlopes(m_knots, &Opening::lift_mm);
}

OpeningCurve OpeningCurve::withFriction(double coefficient) const {
    constexpr double least_factor = 0.1; // hundreds of discs: to first order nothing is known there
    std::vector<OpeningKnot> moved;
    double before_mpa = 0;
    for (auto knot = m_knots.begin() + 1; knot != m_knots.end(); ++knot) {
        const double factor = std::max(least_factor, 1 + coefficient * knot->friction_part);
        OpeningKnot at_load = *knot;
        at_load.pressure_mpa *= factor;
        at_load.slope.gap_mm /= factor;
        at_load.slope.lift_mm /= factor;
        if (!(at_load.pressure_mpa > before_mpa * (1 + 1e-9))) continue;
        before_mpa = at_load.pressure_mpa;
        moved.push_back(at_load);
    }
    return {m_metering_radius_mm, std::move(moved)};
}

Opening OpeningCurve::at(double pressure_mpa) const {
    if (!(pressure_mpa >= 0) || pressure_mpa > greatestPressure() * (1 + 1e-12))
        throw std::logic_error("the opening is not known at this pressure");
    const auto upper = std::lower_bound(
        m_knots.begin() + 1, m_knots.end() - 1, pressure_mpa,
        [](const OpeningKnot& knot, double pressure) { return knot.pressure_mpa < pressure; });
    const OpeningKnot& a = *(upper - 1);
    const OpeningKnot& b = *upper;
    const double h = b.pressure_mpa - a.pressure_mpa;
    const double s = std::min(1.0, (pressure_mpa - a.pressure_mpa) / h);
    const double s2 = s * s;
    const double s3 = s2 * s;
    const auto value = [&](double Opening::*column) {
        return (1 - 3 * s2 + 2 * s3) * a.opening.*column + h * (s - 2 * s2 + s3) * a.slope.*column +
               (3 * s2 - 2 * s3) * b.opening.*column + h * (s3 - s2) * b.slope.*column;
    };
    return {value(&Opening::gap_mm), value(&Opening::lift_mm)};
}

std::optional<double> OpeningCurve::pressureAtLift(double lift_mm) const {
    double low = 0, high = greatestPressure();
    if (lift_mm > m_knots.back().opening.lift_mm) return {};
    while (high - low > 1e-13 * greatestPressure()) {
        const double middle = 0.5 * (low + high);
        (at(middle).lift_mm < lift_mm ? low : high) = middle;
    }
    return high;
}

} // namespace shimledger::planner
