// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/contact_solver.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace shimledger::planner {

namespace {

/// When a point is settled: after a last step this short, or, with a kept tangent, with an error this small.
struct Precision {
    double step_mm, error_mm;
};
// Newton converges quadratically, so a last step of 2e-5 mm leaves an error near 1e-9 mm.
constexpr Precision usual{2e-5, 1e-9};
// A stack that preload has bent is far from flat at its least lifts, which are differences from its rest:
// what is 1e-9 mm off there is up to 1e-4 of the smallest lift that curves are compared at.
constexpr Precision near_rest{2e-7, 1e-13};
constexpr double near_rest_mm = 1e-3;
constexpr double keeping_step_mm = 3e-3; // after a step below this the tangent is good for one more
constexpr double gap_tolerance_mm = 1e-9;
// Never more than this part of the largest deflection: a nanometre is 3e-5 of the smallest lift that curves
// are compared at, and which contacts it lets pass depended on the stack solved before.
constexpr double gap_tolerance_part = 1e-8;
constexpr double force_tolerance = 1e-10; // of the largest nodal force
constexpr double force_rounding = 1e-14;  // of a stiffness times a deflection
constexpr int free_rounds = 10;           // rounds in which contacts and plates change together
constexpr int most_rounds = 40;
constexpr int most_pressure_trials = 60;
constexpr double settled_lift_mm = 1e-12;
constexpr double same_deflection_mm = 1e-8;

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

} // namespace

ContactSolver::ContactSolver(const ModelParts& parts) : m_parts(&parts) {
    const ContactLayout& layout = parts.layout;
    const auto dofs = at(layout.dofCount());
    for (std::vector<double>* vector :
         {&m_deflection, &m_internal, &m_next, &m_offset, &m_scratch, &m_product, &m_response,
          &m_saved_deflection, &m_saved_response, &m_older_deflection, &m_constant, &m_per_pressure}) {
        vector->assign(dofs, 0.0);
    }
    m_unknown.assign(dofs, 0);
    m_first.assign(dofs, 0);
    m_heights.assign(parts.shapes.size(), 0.0);
    m_gaps.assign(layout.pairs.size(), 0.0);
    m_force.assign(layout.pairs.size(), 0.0);
    m_force_noise.assign(layout.pairs.size(), 0.0);
    m_closed.assign(layout.pairs.size(), 1); // touching discs mostly press somewhere
    m_saved_closed = m_closed;
    m_blocks.assign(at(parts.block_start.back()), 0.0);
    m_modes.assign(2 * dofs, 0.0);
    m_matrix.reserve(layout.dofCount());
}

/// One linear solve about the present deflection with the present contacts; leaves m_next, m_response
/// (d w / d pressure), m_pressure and the contact forces. With Tangent::keep the factor of the last one
/// serves.
bool ContactSolver::solveLinearised(Control control, double target, Tangent tangent) {
    // Without membrane forces the solution is a straight line in pressure until a contact changes.
    if (!m_solution_current && !solveUnknowns(tangent)) return false;
    const ContactLayout& layout = m_parts->layout;
    const auto dofs = m_unknown.size();
    const int edge_unknown = m_unknown[at(layout.edge_dof)];
    const double edge_offset = m_offset[at(layout.edge_dof)];
    m_edge_response = edge_unknown < 0 ? 0.0 : m_per_pressure[at(edge_unknown)];
    if (control == Control::lift) {
        if (!(std::abs(m_edge_response) > 1e-300)) {
            m_singular = true;
            return false;
        }
        m_pressure = (target - edge_offset - m_constant[at(edge_unknown)]) / m_edge_response;
    } else {
        m_pressure = target;
    }
    for (std::size_t i = 0; i < dofs; ++i) {
        const int unknown = m_unknown[i];
        m_response[i] = unknown < 0 ? 0.0 : m_per_pressure[at(unknown)];
        m_next[i] = m_offset[i] + (unknown < 0 ? 0.0 : m_constant[at(unknown)] + m_pressure * m_response[i]);
    }
    double largest = 0;
    for (const double deflection : m_next) largest = std::max(largest, std::abs(deflection));
    m_gap_tolerance_mm = std::min(gap_tolerance_mm, gap_tolerance_part * largest);
    computeForces();
    return std::isfinite(m_pressure) && std::isfinite(edge());
}

/// Contact forces that the linearised equilibrium implies, from the clamp side of each chain down.
void ContactSolver::computeForces() {
    const ContactLayout& layout = m_parts->layout;
    const auto dofs = m_unknown.size();
    for (std::size_t i = 0; i < dofs; ++i) m_scratch[i] = m_next[i] - origin(i);
    product(m_scratch.data(), m_product.data());
    double largest = 0;
    for (std::size_t i = 0; i < dofs; ++i) {
        m_product[i] += m_internal[i];
        largest = std::max(largest, std::abs(m_product[i]));
    }
    m_force_scale = largest;
    // Nodes close together make stiff entries whose products cancel; what is left of that is no force.
    for (int g = 0; g < layout.groupCount(); ++g) {
        const int n = layout.node_count[at(g)];
        const int start = layout.first_dof[at(g)];
        const double* block = m_blocks.data() + m_parts->block_start[at(g)];
        double most = 0;
        for (int i = 0; i < n; ++i) most = std::max(most, std::abs(m_next[at(start + i)]));
        for (int i = 0; i < n; ++i) m_scratch[at(start + i)] = force_rounding * block[i * n + i] * most;
    }
    const int nodes = static_cast<int>(layout.node_radii_mm.size());
    for (int node = 0; node < nodes; ++node) {
        double carried = 0;
        double noise = 0;
        for (int i = layout.chain_start[at(node + 1)] - 1; i >= layout.chain_start[at(node)]; --i) {
            if (m_closed[at(i)]) {
                carried += m_product[at(layout.pairs[at(i)].upper_dof)];
                noise += m_scratch[at(layout.pairs[at(i)].upper_dof)];
            } else {
                carried = noise = 0;
            }
            m_force[at(i)] = carried;
            m_force_noise[at(i)] = noise;
        }
    }
    m_seat_force = 0;
    if (m_seat_closed) {
        const int dof = layout.seat_dof;
        m_seat_force = m_product[at(dof)] - m_pressure * m_parts->tables[0]->pressure_load[at(dof)];
        const int first = layout.chain_start[at(dof)]; // the face group's nodes are numbered from node 0
        if (first < layout.chain_start[at(dof + 1)] && layout.pairs[at(first)].lower_group == 0) {
            m_seat_force += m_force[at(first)];
        }
    }
}

/// Opens contacts that would pull and closes those that overlap; says how many.
int ContactSolver::updateContacts() {
    const ContactLayout& layout = m_parts->layout;
    const double pull = -force_tolerance * m_force_scale;
    const double overlap = -m_gap_tolerance_mm;
    int wrong = 0;
    if (layout.seat_dof >= 0) {
        const bool overlaps = m_next[at(layout.seat_dof)] < m_parts->preload_mm + overlap;
        if (m_seat_closed ? m_seat_force < pull : overlaps) {
            ++wrong;
            m_seat_closed = !m_seat_closed;
        }
    }
    for (std::size_t i = 0; i < layout.pairs.size(); ++i) {
        const ContactLayout::Pair& pair = layout.pairs[i];
        const double gap = m_gaps[i] + m_next[at(pair.upper_dof)] - m_next[at(pair.lower_dof)];
        if (m_closed[i] ? m_force[i] < pull - m_force_noise[i] : gap < overlap) {
            ++wrong;
            m_closed[i] = m_closed[i] ? 0 : 1;
        }
    }
    if (wrong > 0) m_solution_current = false;
    return wrong;
}

/// Changes all wrong contacts at once as long as their number falls now and then.
bool ContactSolver::flipContacts(double pressure) {
    constexpr int patience = 8;
    int fewest = static_cast<int>(m_closed.size()) + 2;
    for (int patience_left = patience; patience_left > 0 && stepsLeft();) {
        if (!solveLinearised(Control::pressure, pressure)) return false;
        const int wrong = updateContacts();
        if (wrong == 0) return true;
        if (wrong < fewest) {
            fewest = wrong;
            patience_left = patience;
        } else {
            --patience_left;
        }
    }
    return false;
}

/// The contact problem of the present tangent at one pressure. Where flipping contacts does not settle it,
/// the interior-point method does, which always ends.
bool ContactSolver::settleAtPressure(double pressure) {
    if (flipContacts(pressure)) return true;
    // Contacts that only just touch may be told apart wrongly: a force of the sign that rounding gives it.
    // They do no harm either way, which the deflections show.
    if (!settleByInteriorPoint(pressure) || !solveLinearised(Control::pressure, pressure)) return false;
    double apart = 0;
    for (std::size_t i = 0; i < m_next.size(); ++i)
        apart = std::max(apart, std::abs(m_next[i] - m_interior.deflection[i]));
    // Far from flat its own rounding may be more than that; then it only was a good start.
    return apart < same_deflection_mm || flipContacts(pressure);
}

/// The contact problem of the present tangent. A prescribed lift makes it unsymmetric, so that nothing
/// promises an end; therefore the pressure is searched, along the straight pieces of the lift over
/// pressure, and the contacts are settled at each pressure tried.
bool ContactSolver::settleContacts(Control control, double target) {
    if (control == Control::pressure) return settleAtPressure(target);
    double low = 0;
    double high = std::numeric_limits<double>::infinity();
    double pressure = std::max(0.0, m_pressure);
    for (int trial = 0; trial < most_pressure_trials; ++trial) {
        if (!settleAtPressure(pressure)) return false;
        const double reached = m_next[at(m_parts->layout.edge_dof)];
        (reached < target ? low : high) = pressure;
        if (std::abs(reached - target) < settled_lift_mm) return true;
        double next = pressure + (target - reached) / m_edge_response;
        if (!(m_edge_response > 0) || !(next > low && next < high)) {
            next = std::isfinite(high) ? 0.5 * (low + high) : 2 * pressure + 1e-6;
        }
        if (next == pressure) return true;
        pressure = next;
    }
    m_edge_sinks = !(m_edge_response > 0);
    return false;
}

bool ContactSolver::newton(Control control, double target) {
    m_singular = false;
    m_edge_sinks = false;
    const bool at_rest = control == Control::lift ? target - m_rest_edge < near_rest_mm : target == 0;
    const Precision& wanted = m_strained && at_rest ? near_rest : usual;
    double last_step = 0;
    Tangent tangent = Tangent::renew;
    for (int round = 0; round < most_rounds; ++round) {
        evaluatePlates(tangent);
        bool settled = false;
        if (round < free_rounds) {
            // Contacts and plates together: a contact that is wrong now is put right in the next round.
            if (!solveLinearised(control, target, tangent)) return false;
            settled = updateContacts() == 0;
        } else {
            if (!settleContacts(control, target)) return false;
            settled = true;
        }
        double step = 0;
        for (std::size_t i = 0; i < m_next.size(); ++i)
            step = std::max(step, std::abs(m_next[i] - m_deflection[i]));
        m_deflection.swap(m_next);
        if (!std::isfinite(step)) return false;
        // With a kept tangent steps shrink by an even ratio, so the step and the ratio tell what is left.
        const bool close =
            tangent == Tangent::keep ? step * step < wanted.error_mm * last_step : step < wanted.step_mm;
        if (settled && (m_regime == Regime::small || close)) {
            // An edge that sinks as pressure grows is no opening valve: other pressures would give that lift
            // too.
            m_edge_sinks = control == Control::lift && !(m_edge_response > 0);
            return !m_edge_sinks;
        }
        const bool near = settled && tangent == Tangent::renew && step < keeping_step_mm;
        tangent = near && round + 1 < free_rounds ? Tangent::keep : Tangent::renew;
        last_step = step;
    }
    return false;
}

} // namespace shimledger::planner
