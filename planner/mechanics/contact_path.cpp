// SPDX-License-Identifier: GPL-3.0-or-later
// How a ContactSolver goes from one point of a stack's path to the next. The equilibrium at a point is found
// in contact_solver.cpp.
#include "planner/mechanics/contact_solver.h"

#include <algorithm>
#include <cmath>

namespace shimledger::planner {

namespace {

constexpr int deepest_halving = 8;
constexpr int preload_steps = 4;
constexpr double longest_extrapolation = 2; // of the step before

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

} // namespace

/// Along the path to the next point: on the parabola through this point, its tangent and the point before,
/// or on the tangent alone where contacts have changed since.
void ContactSolver::predict(Control control, double target) {
    if (m_regime == Regime::small || (control == Control::lift && m_edge_response == 0)) return;
    const double here = position(control);
    const double step = target - here;
    const double before = here - m_older_position;
    const double per_unit = control == Control::lift ? 1 / m_edge_response : 1.0;
    const bool bends = m_older_known && before > 0 && step <= longest_extrapolation * before;
    const double curving = bends ? (step / before) * (step / before) : 0.0;
    for (std::size_t i = 0; i < m_deflection.size(); ++i) {
        const double slope = m_response[i] * per_unit;
        const double bend = bends ? m_older_deflection[i] - m_deflection[i] + slope * before : 0.0;
        m_deflection[i] += slope * step + curving * bend;
    }
}

/// One point further; on failure from halfway, so a stack that snaps is followed in small steps. At depth 0
/// the last stack's path may show the way.
bool ContactSolver::advance(Control control, double target, int depth) {
    m_saved_deflection = m_deflection;
    m_saved_response = m_response;
    m_saved_closed = m_closed;
    const bool saved_seat = m_seat_closed;
    const double saved_pressure = m_pressure;
    const double saved_edge_response = m_edge_response;
    const double here = position(control);
    const double from_rest = control == Control::lift ? target - m_rest_edge : target;
    if (depth == 0) startFromContacts(path(control).closed(from_rest));
    if (depth > 0 || !path(control).suggest(from_rest, m_deflection)) predict(control, target);
    m_older_deflection = m_saved_deflection;
    m_older_position = here;
    m_older_known = false;
    if (newton(control, target)) {
        m_older_known = m_edge_response > 0 && m_closed == m_saved_closed;
        if (depth == 0) path(control).note(from_rest, m_deflection, m_closed);
        return true;
    }
    if (m_edge_sinks || depth >= deepest_halving || !stepsLeft() || target == here) return false;
    m_deflection = m_saved_deflection;
    m_response = m_saved_response;
    m_closed = m_saved_closed;
    m_solution_current = false;
    m_seat_closed = saved_seat;
    m_pressure = saved_pressure;
    m_edge_response = saved_edge_response;
    if (!advance(control, here + 0.5 * (target - here), depth + 1) || !advance(control, target, depth + 1))
        return false;
    if (depth == 0) path(control).note(from_rest, m_deflection, m_closed);
    return true;
}

/// Contacts of another stack at this point; they are only a start.
void ContactSolver::startFromContacts(const std::vector<char>* closed) {
    if (!closed || *closed == m_closed) return;
    m_closed = *closed;
    m_solution_current = false;
}

/// The rest position once more, from flat discs, with rings that grow to their thickness by and by.
bool ContactSolver::growPreload() {
    const std::vector<double> whole = m_gaps;
    std::fill(m_deflection.begin(), m_deflection.end(), 0.0);
    std::fill(m_response.begin(), m_response.end(), 0.0);
    m_older_known = false;
    for (int step = 1; step <= preload_steps; ++step) {
        for (std::size_t i = 0; i < whole.size(); ++i)
            m_gaps[i] = whole[i] < 0 ? whole[i] * step / preload_steps : whole[i];
        m_solution_current = false;
        if (!newton(Control::pressure, 0.0)) return false;
    }
    return true;
}

SolveReport ContactSolver::begin(std::span<const GroupSums> sums, Regime regime) {
    const ContactLayout& layout = m_parts->layout;
    m_regime = regime;
    m_sums = sums;
    m_steps = 0;
    m_pressure = 0;
    m_rest_edge = 0;
    m_blocks_current = false;
    m_solution_current = false;
    restGaps(layout, m_parts->shapes, sums.data(), m_heights.data(), m_gaps.data());
    std::fill(m_deflection.begin(), m_deflection.end(), 0.0);
    std::fill(m_response.begin(), m_response.end(), 0.0);
    m_edge_response = 0;
    m_older_known = false;
    for (const Control control : {Control::lift, Control::pressure}) path(control).begin(sums);
    m_strained = m_parts->preload_mm > 0;
    for (const double gap : m_gaps) m_strained = m_strained || gap < 0;
    for (std::size_t i = 0; i < m_gaps.size(); ++i) {
        if (m_gaps[i] > 0) m_closed[i] = 0; // contacts of touching discs are kept from the last stack
    }
    m_seat_closed = m_parts->preload_mm > 0;
    if (m_strained) {
        if (!advance(Control::pressure, 0.0, 0) && !growPreload()) {
            return {false, "the rest position under preload could not be found", m_steps};
        }
        m_rest_edge = edge();
    }
    return {true, {}, m_steps};
}

double ContactSolver::lift() const {
    return edge() - m_rest_edge;
}

bool ContactSolver::toLift(double lift_mm) {
    // With the seat closed the edge may not answer to pressure; a risen edge has left the seat.
    if (m_seat_closed) m_solution_current = false;
    m_seat_closed = false;
    return advance(Control::lift, m_rest_edge + lift_mm, 0);
}

bool ContactSolver::toPressure(double pressure_mpa) {
    return advance(Control::pressure, pressure_mpa, 0);
}

bool ContactSolver::between(const StackState& before, const StackState& after, double lift_mm) {
    const double span = after.lift_mm - before.lift_mm;
    const double part = span > 0 ? (lift_mm - before.lift_mm) / span : 0.0;
    for (std::size_t i = 0; i < m_deflection.size(); ++i) {
        m_deflection[i] = before.deflection_mm[i] + part * (after.deflection_mm[i] - before.deflection_mm[i]);
    }
    const StackState& nearer = part < 0.5 ? before : after;
    for (std::size_t i = 0; i < m_closed.size(); ++i) m_closed[i] = nearer.gap_mm[i] <= 0 ? 1 : 0;
    m_seat_closed = false;
    m_solution_current = false;
    m_edge_response = 0; // no tangent to predict along
    m_older_known = false;
    if (newton(Control::lift, m_rest_edge + lift_mm)) return true;
    m_edge_response = 0;
    return false;
}

StackState ContactSolver::state() const {
    StackState state;
    state.pressure_mpa = m_pressure;
    state.lift_mm = lift();
    state.lift_slope_mm_per_mpa = m_edge_response;
    state.deflection_mm = m_deflection;
    state.contact_force_n = m_force;
    for (double& force : state.contact_force_n) force = std::max(0.0, force); // rounding, see computeForces
    state.seat_force_n = m_seat_force;
    state.response_mm_per_mpa = m_response;
    const int edge_unknown = m_unknown[at(m_parts->layout.edge_dof)];
    std::vector<double> unit(at(m_matrix.size()), 0.0);
    if (edge_unknown >= 0) unit[at(edge_unknown)] = 1;
    m_matrix.solve(unit.data());
    for (const int unknown : m_unknown)
        state.edge_influence_mm_per_n.push_back(unknown < 0 ? 0.0 : unit[at(unknown)]);
    for (std::size_t i = 0; i < m_gaps.size(); ++i) {
        const ContactLayout::Pair& pair = m_parts->layout.pairs[i];
        const double gap = m_gaps[i] + m_deflection[at(pair.upper_dof)] - m_deflection[at(pair.lower_dof)];
        state.gap_mm.push_back(m_closed[i] ? 0.0 : gap);
    }
    return state;
}

} // namespace shimledger::planner
