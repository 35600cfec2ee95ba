// SPDX-License-Identifier: GPL-3.0-or-later
// The linear system of a ContactSolver: plates, shared unknowns, factor. Which contacts are closed is decided
// in contact_solver.cpp.
#include "planner/mechanics/contact_solver.h"

#include <algorithm>

namespace shimledger::planner {

namespace {

constexpr int fixed_by_seat = -1;

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

/// y += factor * x
void addScaled(double* __restrict y, const double* __restrict x, double factor, int n) {
    for (int i = 0; i < n; ++i) y[i] += factor * x[i];
}

} // namespace

/// Adds the membrane's nodal forces at deflections w and, where `block` is given, its tangent. The tangent is
/// symmetric: its lower half is summed up and mirrored.
void ContactSolver::addMembrane(const PlateTables& tables, double membrane, const double* w, double* internal,
                                double* block) {
    const int n = tables.node_count;
    const int size = n * n;
    const auto force = [&](int k, double* y) { // y = T_k w
        const double* tensor = tables.membrane.data() + k * size;
        std::fill_n(y, n, 0.0);
        for (int j = 0; j < n; ++j) addScaled(y, tensor + j * n, w[j], n);
        double amplitude = 0;
        for (int i = 0; i < n; ++i) amplitude += 0.5 * w[i] * y[i];
        addScaled(internal, y, membrane * amplitude, n);
        return membrane * amplitude;
    };
    // Two terms at a time, since the columns of the tangent cost more to fetch than to add to.
    for (int k = 0; k < tables.mode_count; k += 2) {
        const bool pair = k + 1 < tables.mode_count;
        double* __restrict y = m_modes.data();
        double* __restrict z = y + n;
        const double scaled_y = force(k, y);
        const double scaled_z = pair ? force(k + 1, z) : 0.0;
        if (!pair) std::fill_n(z, n, 0.0);
        if (!block) continue;
        const double* of_y = tables.membrane.data() + k * size;
        const double* of_z = pair ? of_y + size : of_y;
        for (int j = 0; j < n; ++j) {
            const double factor_y = membrane * y[j];
            const double factor_z = membrane * z[j];
            double* __restrict column = block + j * n;
            const double* column_y = of_y + j * n;
            const double* column_z = of_z + j * n;
            for (int i = j; i < n; ++i) {
                column[i] +=
                    (factor_y * y[i] + scaled_y * column_y[i]) + (factor_z * z[i] + scaled_z * column_z[i]);
            }
        }
    }
    if (!block) return;
    for (int j = 0; j < n; ++j) {
        for (int i = j + 1; i < n; ++i) block[i * n + j] = block[j * n + i];
    }
}

/// Internal nodal forces into m_internal and, unless the old one will do, the tangent stiffness of every
/// plate into m_blocks.
void ContactSolver::evaluatePlates(Tangent tangent) {
    if (m_regime == Regime::small && m_blocks_current) return;
    const ContactLayout& layout = m_parts->layout;
    for (int g = 0; g < layout.groupCount(); ++g) {
        const int n = layout.node_count[at(g)];
        if (n == 0) continue;
        const PlateTables& tables = *m_parts->tables[at(g)];
        const double rigidity = rigidityOf(g);
        // A ring needs something to rest on where nothing touches it: a spring far below any plate.
        const double spring = m_parts->shapes[at(g)].ring ? 1e-6 * rigidity : 0.0;
        const double* stiffness = tables.stiffness.data();
        const double* w = m_deflection.data() + layout.first_dof[at(g)];
        double* internal = m_internal.data() + layout.first_dof[at(g)];
        double* block = nullptr;
        if (tangent == Tangent::renew) {
            block = m_blocks.data() + m_parts->block_start[at(g)];
            for (int i = 0; i < n * n; ++i) block[i] = rigidity * stiffness[i];
            for (int i = 0; i < n; ++i) block[i * n + i] += spring;
        }
        std::fill_n(internal, n, 0.0);
        if (m_regime == Regime::small) continue;
        for (int i = 0; i < n; ++i) internal[i] = spring * w[i];
        for (int j = 0; j < n; ++j) addScaled(internal, stiffness + j * n, rigidity * w[j], n);
        addMembrane(tables, m_sums[at(g)].membrane_n_per_mm, w, internal, block);
    }
    m_blocks_current = true;
}

/// y = block-diagonal tangent times x.
void ContactSolver::product(const double* x, double* y) const {
    const ContactLayout& layout = m_parts->layout;
    for (int g = 0; g < layout.groupCount(); ++g) {
        const int n = layout.node_count[at(g)];
        const double* block = m_blocks.data() + m_parts->block_start[at(g)];
        const int start = layout.first_dof[at(g)];
        std::fill_n(y + start, n, 0.0);
        for (int j = 0; j < n; ++j) addScaled(y + start, block + j * n, x[start + j], n);
    }
}

/// Gives touching nodes one unknown: w(dof) = W(unknown) + offset. Unknowns are numbered from the clamp
/// side towards the face, so that the envelope holds a group and what it touches, no more.
void ContactSolver::numberUnknowns() {
    const ContactLayout& layout = m_parts->layout;
    constexpr int unset = -2;
    std::fill(m_unknown.begin(), m_unknown.end(), unset);
    // Each chain is walked from its upper end; a dof's master is the lowest dof it is closed down to.
    // m_first serves as the table of masters until the numbering is known.
    for (std::size_t i = 0; i < m_unknown.size(); ++i) m_first[i] = static_cast<int>(i);
    std::fill(m_offset.begin(), m_offset.end(), 0.0);
    for (std::size_t i = 0; i < layout.pairs.size(); ++i) { // lower pairs of a chain come first
        if (!m_closed[i]) continue;
        const ContactLayout::Pair& pair = layout.pairs[i];
        m_first[at(pair.upper_dof)] = m_first[at(pair.lower_dof)];
        m_offset[at(pair.upper_dof)] = m_offset[at(pair.lower_dof)] - m_gaps[i];
    }
    if (m_seat_closed) m_unknown[at(layout.seat_dof)] = fixed_by_seat;
    int count = 0;
    for (int g = layout.groupCount() - 1; g >= 0; --g) {
        for (int dof = layout.first_dof[at(g)]; dof < layout.first_dof[at(g + 1)]; ++dof) {
            if (m_first[at(dof)] == dof && m_unknown[at(dof)] == unset) m_unknown[at(dof)] = count++;
        }
    }
    for (std::size_t dof = 0; dof < m_unknown.size(); ++dof) {
        m_unknown[dof] = m_unknown[at(m_first[dof])];
        if (m_unknown[dof] == fixed_by_seat) m_offset[dof] += m_parts->preload_mm;
    }
    for (int i = 0; i < count; ++i) m_first[at(i)] = i;
    for (int g = 0; g < layout.groupCount(); ++g) {
        int least = count;
        const int begin = layout.first_dof[at(g)];
        const int end = layout.first_dof[at(g + 1)];
        for (int dof = begin; dof < end; ++dof) {
            if (m_unknown[at(dof)] >= 0) least = std::min(least, m_unknown[at(dof)]);
        }
        for (int dof = begin; dof < end; ++dof) {
            const int unknown = m_unknown[at(dof)];
            if (unknown >= 0) m_first[at(unknown)] = std::min(m_first[at(unknown)], least);
        }
    }
    m_matrix.reset(m_first, count);
}

/// Solves for the constant part and the response to pressure, in unknowns. With the old tangent and the old
/// contacts the factor and the response stay.
bool ContactSolver::solveUnknowns(Tangent tangent) {
    ++m_steps;
    const ContactLayout& layout = m_parts->layout;
    if (tangent == Tangent::renew) numberUnknowns();
    const auto dofs = m_unknown.size();
    for (std::size_t i = 0; i < dofs; ++i) m_scratch[i] = origin(i) - m_offset[i];
    product(m_scratch.data(), m_product.data());
    std::fill_n(m_constant.begin(), m_matrix.size(), 0.0);
    for (std::size_t i = 0; i < dofs; ++i) {
        if (m_unknown[i] >= 0) m_constant[at(m_unknown[i])] += m_product[i] - m_internal[i];
    }
    if (tangent == Tangent::renew) {
        assemble();
        if (!m_matrix.factor()) {
            m_singular = true;
            return false;
        }
        std::fill_n(m_per_pressure.begin(), m_matrix.size(), 0.0);
        for (int i = 0; i < layout.node_count[0]; ++i) {
            const int row = m_unknown[at(i)];
            if (row >= 0) m_per_pressure[at(row)] += m_parts->tables[0]->pressure_load[at(i)];
        }
        m_matrix.solve(m_per_pressure.data());
    }
    m_matrix.solve(m_constant.data());
    m_solution_current = m_regime == Regime::small;
    return true;
}

/// The sums are factors of the plates' forces, so with the tangent A, the port's load f and the row c that
/// picks the edge, A dw + F_i dlog S_i = f dp and c dw = 0 give dp / dlog S_i = (A^-1 c) F_i / (A^-1 c) f.
bool ContactSolver::elasticities(std::span<double> of_sums) {
    const ContactLayout& layout = m_parts->layout;
    if (m_regime == Regime::large) { // the last step may have kept an older tangent
        evaluatePlates(Tangent::renew);
        if (!solveUnknowns(Tangent::renew)) return false;
    }
    const int edge_unknown = m_unknown[at(layout.edge_dof)];
    if (edge_unknown < 0 || !(m_pressure > 0)) return false;
    m_influence.assign(at(m_matrix.size()), 0.0);
    m_influence[at(edge_unknown)] = 1;
    m_matrix.solve(m_influence.data());
    const double scale = 1 / (m_per_pressure[at(edge_unknown)] * m_pressure);
    for (int g = 0; g < layout.groupCount(); ++g) {
        const int n = layout.node_count[at(g)];
        double bending = 0, membrane = 0;
        if (n > 0) {
            const PlateTables& tables = *m_parts->tables[at(g)];
            const double rigidity = rigidityOf(g);
            const int start = layout.first_dof[at(g)];
            double* force = m_scratch.data();
            std::fill_n(force, n, 0.0);
            for (int j = 0; j < n; ++j)
                addScaled(force, tables.stiffness.data() + j * n, rigidity * m_deflection[at(start + j)], n);
            for (int i = 0; i < n; ++i) {
                const int unknown = m_unknown[at(start + i)];
                if (unknown < 0) continue;
                const double influence = m_influence[at(unknown)];
                bending += influence * force[i];
                if (m_regime == Regime::large) membrane += influence * (m_internal[at(start + i)] - force[i]);
            }
        }
        of_sums[2 * at(g)] = bending * scale;
        of_sums[2 * at(g) + 1] = membrane * scale;
    }
    return true;
}

/// The tangent of the plates in unknowns.
void ContactSolver::assemble() {
    const ContactLayout& layout = m_parts->layout;
    for (int g = 0; g < layout.groupCount(); ++g) {
        const int n = layout.node_count[at(g)];
        const int* unknown = m_unknown.data() + layout.first_dof[at(g)];
        const double* block = m_blocks.data() + m_parts->block_start[at(g)];
        for (int i = 0; i < n; ++i) {
            if (unknown[i] < 0) continue;
            for (int j = 0; j <= i; ++j) {
                const int row = std::max(unknown[i], unknown[j]);
                const int column = std::min(unknown[i], unknown[j]);
                // Two nodes of one plate never share an unknown, so an off-diagonal entry is met once.
                if (column >= 0) m_matrix.at(row, column) += block[i * n + j];
            }
        }
    }
}

} // namespace shimledger::planner
