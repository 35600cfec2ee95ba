// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/stack_view/wish_handles.h"

#include <algorithm>
#include <cmath>

namespace shimledger::desk {

namespace {

constexpr double step_mm = 0.01, least_factor = 0.1, most_factor = 10;
constexpr std::size_t most_points = 20; // as many as a wish may have

double inSteps(double lift_mm) {
    return std::round(lift_mm / step_mm) / std::round(1 / step_mm);
}

} // namespace

void WishHandles::set(Points points, double end_mm) {
    if (points.size() != m_points.size()) m_picked = 0;
    m_points = std::move(points);
    m_end_mm = end_mm;
}

void WishHandles::pick(std::size_t point) {
    m_picked = std::min(point, m_points.empty() ? 0 : m_points.size() - 1);
}

void WishHandles::pickBeside(int by) {
    if (by < 0 && m_picked > 0) --m_picked;
    if (by > 0) pick(m_picked + 1);
}

void WishHandles::moveTo(double lift_mm, double factor) {
    if (m_points.empty()) return;
    planner::WantedPoint& point = m_points[m_picked];
    const double least = m_picked > 0 ? m_points[m_picked - 1].lift_mm + step_mm : 0;
    const double most = m_picked + 1 < m_points.size() ? m_points[m_picked + 1].lift_mm - step_mm
                                                       : std::max(m_end_mm, point.lift_mm);
    const double lift = inSteps(lift_mm);
    if (least <= most && std::abs(lift - point.lift_mm) > step_mm / 2)
        point.lift_mm = std::clamp(lift, least, most);
    point.factor = std::clamp(std::round(factor * 1e3) / 1e3, least_factor, most_factor);
}

bool WishHandles::mayStandAt(double lift_mm) const {
    return lift_mm >= 0 && lift_mm <= m_end_mm && m_points.size() < most_points &&
           std::none_of(m_points.begin(), m_points.end(), [&](const planner::WantedPoint& point) {
               return std::abs(point.lift_mm - lift_mm) < step_mm - 1e-9;
           });
}

bool WishHandles::add(double lift_mm) {
    const double lift = inSteps(lift_mm);
    if (m_points.empty() || !mayStandAt(lift)) return false;
    const double factor = planner::WantedFactor::of(m_points).at(lift);
    const auto next = std::find_if(m_points.begin(), m_points.end(),
                                   [&](const planner::WantedPoint& point) { return point.lift_mm > lift; });
    m_picked = static_cast<std::size_t>(next - m_points.begin());
    m_points.insert(next, {lift, std::round(factor * 1e3) / 1e3});
    return true;
}

bool WishHandles::addBesidePicked() {
    if (m_points.empty()) return false;
    const double here = m_points[m_picked].lift_mm;
    const double there = m_picked + 1 < m_points.size() ? m_points[m_picked + 1].lift_mm
                         : here < m_end_mm              ? m_end_mm
                         : m_picked > 0                 ? m_points[m_picked - 1].lift_mm
                                                        : 0;
    return add(m_points.size() == 1 && there == m_end_mm ? there : (here + there) / 2);
}

bool WishHandles::remove() {
    if (m_points.size() < 2) return false;
    m_points.erase(m_points.begin() + static_cast<std::ptrdiff_t>(m_picked));
    pick(m_picked);
    return true;
}

} // namespace shimledger::desk
