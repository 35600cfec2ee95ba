// SPDX-License-Identifier: GPL-3.0-or-later
// The contact problem of one tangent by an interior-point method: slow and sure, for stacks of many discs
// whose contacts do not settle by being opened and closed. The rest of the solver is in contact_solver.cpp.
#include "planner/mechanics/contact_solver.h"

#include <algorithm>
#include <cmath>

namespace shimledger::planner {

namespace {

constexpr int most_iterations = 80;
constexpr double first_slack_mm = 0.01;
constexpr double finished = 1e-13; // complementarity, of the first one
// Contacts that press get ever stiffer, until rounding hides the plates behind them: which press is known by
// then.
constexpr double clear_enough = 1e-10;
constexpr double boundary_share = 0.995;

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

} // namespace

/// Every dof is an unknown here, from the clamp side to the face; rows reach back to the first dof that their
/// group or what may touch it has.
void ContactSolver::numberForInteriorPoint() {
    const ContactLayout& layout = m_parts->layout;
    const int dofs = layout.dofCount();
    const auto number = [&](int dof) { return dofs - 1 - dof; };
    for (int g = 0; g < layout.groupCount(); ++g) {
        for (int dof = layout.first_dof[at(g)]; dof < layout.first_dof[at(g + 1)]; ++dof)
            m_first[at(number(dof))] = number(layout.first_dof[at(g + 1)] - 1);
    }
    for (const ContactLayout::Pair& pair : layout.pairs) {
        int& first = m_first[at(number(pair.lower_dof))];
        first = std::min(first, number(pair.upper_dof));
    }
}

/// K + G' diag(force / slack) G about the present slacks and forces, factored.
bool ContactSolver::factorForInteriorPoint(const InteriorPoint& point) {
    const ContactLayout& layout = m_parts->layout;
    const int dofs = layout.dofCount();
    const auto number = [&](int dof) { return dofs - 1 - dof; };
    m_matrix.reset(m_first, dofs);
    for (int g = 0; g < layout.groupCount(); ++g) {
        const int n = layout.node_count[at(g)];
        const int start = layout.first_dof[at(g)];
        const double* block = m_blocks.data() + m_parts->block_start[at(g)];
        for (int i = 0; i < n; ++i) {
            for (int j = i; j < n; ++j) m_matrix.at(number(start + i), number(start + j)) = block[i * n + j];
        }
    }
    for (std::size_t i = 0; i < layout.pairs.size(); ++i) {
        const int lower = number(layout.pairs[i].lower_dof);
        const int upper = number(layout.pairs[i].upper_dof);
        const double stiffness = point.force[i] / point.slack[i];
        m_matrix.at(lower, lower) += stiffness;
        m_matrix.at(upper, upper) += stiffness;
        m_matrix.at(lower, upper) -= stiffness;
    }
    if (layout.seat_dof >= 0) {
        const int seat = number(layout.seat_dof);
        m_matrix.at(seat, seat) += point.force.back() / point.slack.back();
    }
    ++m_steps;
    return m_matrix.factor();
}

/// Gap i at deflections w: the pairs, and last the seat where there is one.
double ContactSolver::gapOf(std::size_t i, const std::vector<double>& w) const {
    const ContactLayout& layout = m_parts->layout;
    if (i == layout.pairs.size()) return w[at(layout.seat_dof)] - m_parts->preload_mm;
    return m_gaps[i] + w[at(layout.pairs[i].upper_dof)] - w[at(layout.pairs[i].lower_dof)];
}

/// Adds `factor` times the forces that a contact i of unit force puts on the dofs.
void ContactSolver::addContact(std::size_t i, double factor, std::vector<double>& forces) const {
    const ContactLayout& layout = m_parts->layout;
    if (i == layout.pairs.size()) {
        forces[at(layout.seat_dof)] += factor;
        return;
    }
    forces[at(layout.pairs[i].upper_dof)] += factor;
    forces[at(layout.pairs[i].lower_dof)] -= factor;
}

/// Finds which contacts press at this pressure and sets them closed. Method: primal-dual interior point with
/// Mehrotra's centring (S. J. Wright, Primal-Dual Interior-Point Methods, SIAM 1997, ch. 10).
bool ContactSolver::settleByInteriorPoint(double pressure) {
    const ContactLayout& layout = m_parts->layout;
    const std::size_t contacts = layout.pairs.size() + (layout.seat_dof >= 0 ? 1 : 0);
    if (contacts == 0) return false;
    InteriorPoint& x = m_interior;
    x.deflection = m_deflection;
    x.slack.assign(contacts, 0.0);
    x.slack_step.assign(contacts, 0.0);
    x.force_step.assign(contacts, 0.0);
    for (std::size_t i = 0; i < contacts; ++i) x.slack[i] = std::max(gapOf(i, x.deflection), first_slack_mm);
    // Under preload discs press on each other without any pressure, and the end is judged by that measure.
    const double load = std::max({pressure * m_parts->port_area_mm2, m_strained ? m_force_scale : 0.0, 1e-3});
    x.force.assign(contacts, load / static_cast<double>(contacts));
    numberForInteriorPoint();
    const auto complementarity = [&](double slack_share, double force_share) {
        double sum = 0;
        for (std::size_t i = 0; i < contacts; ++i)
            sum +=
                (x.slack[i] + slack_share * x.slack_step[i]) * (x.force[i] + force_share * x.force_step[i]);
        return sum / static_cast<double>(contacts);
    };
    const double first_complementarity = complementarity(0, 0);

    // One Newton step towards slack * force = centre - bend; leaves the steps in m_next, slack_step,
    // force_step.
    const auto step = [&](double centre, bool with_bend) {
        std::vector<double>& right = m_next;
        for (std::size_t d = 0; d < right.size(); ++d) m_scratch[d] = x.deflection[d] - origin(d);
        product(m_scratch.data(), m_product.data());
        for (std::size_t d = 0; d < right.size(); ++d) right[d] = -m_product[d] - m_internal[d];
        for (int d = 0; d < layout.node_count[0]; ++d)
            right[at(d)] += pressure * m_parts->tables[0]->pressure_load[at(d)];
        for (std::size_t i = 0; i < contacts; ++i) {
            const double bend = with_bend ? x.slack_step[i] * x.force_step[i] : 0.0;
            const double miss = gapOf(i, x.deflection) - x.slack[i];
            // What the contact will press with: force + (centre - bend - slack force - force miss) / slack.
            addContact(i, (centre - bend - x.force[i] * miss) / x.slack[i], right);
            x.force_step[i] = (centre - bend) / x.slack[i] - x.force[i];
        }
        std::reverse(right.begin(), right.end());
        m_matrix.solve(right.data());
        std::reverse(right.begin(), right.end());
        for (std::size_t i = 0; i < contacts; ++i) {
            const double rest = i == layout.pairs.size() ? -m_parts->preload_mm : m_gaps[i];
            x.slack_step[i] = gapOf(i, right) - rest + gapOf(i, x.deflection) - x.slack[i];
            x.force_step[i] -= x.force[i] / x.slack[i] * x.slack_step[i];
        }
    };
    const auto longest = [&](const std::vector<double>& value, const std::vector<double>& change) {
        double share = 1;
        for (std::size_t i = 0; i < contacts; ++i) {
            if (change[i] < 0) share = std::min(share, -value[i] / change[i]);
        }
        return share;
    };
    bool ended = false;
    for (int iteration = 0; iteration < most_iterations && stepsLeft() && !ended; ++iteration) {
        const double now = complementarity(0, 0);
        if (!factorForInteriorPoint(x)) {
            ended = now < clear_enough * first_complementarity;
            break;
        }
        step(0, false);
        const double ratio =
            complementarity(longest(x.slack, x.slack_step), longest(x.force, x.force_step)) / now;
        step(ratio * ratio * ratio * now, true);
        const double share = std::min(
            1.0, boundary_share * std::min(longest(x.slack, x.slack_step), longest(x.force, x.force_step)));
        for (std::size_t d = 0; d < m_next.size(); ++d) x.deflection[d] += share * m_next[d];
        for (std::size_t i = 0; i < contacts; ++i) {
            x.slack[i] += share * x.slack_step[i];
            x.force[i] += share * x.force_step[i];
        }
        if (!std::isfinite(x.deflection[at(layout.edge_dof)])) return false;
        ended = complementarity(0, 0) < finished * first_complementarity;
    }
    if (!ended) return false;
    // At the end one of slack and force is far smaller than the other, each by its own measure.
    for (std::size_t i = 0; i < layout.pairs.size(); ++i)
        m_closed[i] = x.force[i] / load > x.slack[i] / first_slack_mm ? 1 : 0;
    if (contacts > layout.pairs.size())
        m_seat_closed = x.force.back() / load > x.slack.back() / first_slack_mm;
    layDownLooseRings();
    m_solution_current = false;
    return true;
}

/// A loose ring presses with its weak spring alone, too little to be told from nothing: it lies where its gap
/// is least.
void ContactSolver::layDownLooseRings() {
    const std::vector<ContactLayout::Pair>& pairs = m_parts->layout.pairs;
    for (int g = 0; g < m_parts->layout.groupCount(); ++g) {
        if (!m_parts->shapes[at(g)].ring) continue;
        bool held = false;
        std::size_t least = pairs.size();
        for (std::size_t i = 0; i < pairs.size(); ++i) {
            if (pairs[i].lower_group != g && pairs[i].upper_group != g) continue;
            held = held || m_closed[i];
            if (least == pairs.size() || m_interior.slack[i] < m_interior.slack[least]) least = i;
        }
        if (!held && least < pairs.size()) m_closed[least] = 1;
    }
}

} // namespace shimledger::planner
