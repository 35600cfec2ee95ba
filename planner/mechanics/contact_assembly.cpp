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

} // namespace

/// Tangent stiffness of every plate into m_blocks and internal nodal forces into m_internal.
void ContactSolver::evaluatePlates() {
    if (m_regime == Regime::small && m_blocks_current) {
        product(m_deflection.data(), m_internal.data());
        return;
    }
    const ContactLayout& layout = m_parts->layout;
    for (int g = 0; g < layout.groupCount(); ++g) {
        const int n = layout.node_count[at(g)];
        if (n == 0) continue;
        const PlateTables& tables = *m_parts->tables[at(g)];
        const double nu = m_parts->shapes[at(g)].poisson_ratio;
        const double rigidity = m_sums[at(g)].bending_n_mm / (12 * (1 - nu * nu));
        const double* w = m_deflection.data() + layout.first_dof[at(g)];
        double* internal = m_internal.data() + layout.first_dof[at(g)];
        double* block = m_blocks.data() + m_parts->block_start[at(g)];
        const int size = n * n;
        for (int i = 0; i < size; ++i) block[i] = rigidity * tables.stiffness[at(i)];
        if (m_parts->shapes[at(g)].ring) {
            // A ring needs something to rest on where nothing touches it: a spring far below any plate.
            for (int i = 0; i < n; ++i) block[i * n + i] += 1e-6 * rigidity;
        }
        std::fill_n(internal, n, 0.0);
        for (int j = 0; j < n; ++j) {
            const double value = w[j];
            for (int i = 0; i < n; ++i) internal[i] += block[j * n + i] * value;
        }
        if (m_regime == Regime::small) continue;
        const double membrane = m_sums[at(g)].membrane_n_per_mm;
        for (int k = 0; k < tables.mode_count; ++k) {
            const double* tensor = tables.membrane.data() + k * size;
            double* y = m_modes.data(); // T_k w
            std::fill_n(y, n, 0.0);
            for (int j = 0; j < n; ++j) {
                const double value = w[j];
                for (int i = 0; i < n; ++i) y[i] += tensor[j * n + i] * value;
            }
            double amplitude = 0;
            for (int i = 0; i < n; ++i) amplitude += 0.5 * w[i] * y[i];
            const double scaled = membrane * amplitude;
            for (int i = 0; i < n; ++i) internal[i] += scaled * y[i];
            for (int j = 0; j < n; ++j) {
                const double factor = membrane * y[j];
                double* column = block + j * n;
                const double* tensor_column = tensor + j * n;
                for (int i = 0; i < n; ++i) column[i] += factor * y[i] + scaled * tensor_column[i];
            }
        }
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
        for (int j = 0; j < n; ++j) {
            const double value = x[start + j];
            for (int i = 0; i < n; ++i) y[start + i] += block[j * n + i] * value;
        }
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

/// Assembles and solves for the constant part and the response to pressure, in unknowns.
bool ContactSolver::solveUnknowns() {
    ++m_steps;
    const ContactLayout& layout = m_parts->layout;
    numberUnknowns();
    const auto dofs = m_unknown.size();
    for (std::size_t i = 0; i < dofs; ++i) m_scratch[i] = m_deflection[i] - m_offset[i];
    product(m_scratch.data(), m_product.data());
    const int count = m_matrix.size();
    std::fill_n(m_constant.begin(), count, 0.0);
    std::fill_n(m_per_pressure.begin(), count, 0.0);
    for (int g = 0; g < layout.groupCount(); ++g) {
        const int n = layout.node_count[at(g)];
        const int start = layout.first_dof[at(g)];
        const double* block = m_blocks.data() + m_parts->block_start[at(g)];
        for (int i = 0; i < n; ++i) {
            const int row = m_unknown[at(start + i)];
            if (row < 0) continue;
            m_constant[at(row)] += m_product[at(start + i)] - m_internal[at(start + i)];
            if (g == 0) m_per_pressure[at(row)] += m_parts->tables[0]->pressure_load[at(i)];
            for (int j = 0; j < n; ++j) {
                const int column = m_unknown[at(start + j)];
                if (column >= 0 && column <= row) m_matrix.at(row, column) += block[i * n + j];
            }
        }
    }
    if (!m_matrix.factor()) {
        m_singular = true;
        return false;
    }
    m_matrix.solve(m_constant.data());
    m_matrix.solve(m_per_pressure.data());
    m_solution_current = m_regime == Regime::small;
    return true;
}

} // namespace shimledger::planner
