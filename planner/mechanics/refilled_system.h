// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/OrderingMethods>
#include <Eigen/SparseCholesky>
#include <Eigen/SparseCore>

#include <algorithm>
#include <cstddef>
#include <vector>

namespace shimledger::planner {

/// A sparse symmetric system that is summed up from entries again and again. The entries come in the same
/// order every time, so only the first filling sorts them and looks for the order of elimination.
class RefilledSystem {
public:
    /// Takes back all entries.
    void clear() {
        m_next = 0;
        if (known()) std::fill_n(m_matrix.valuePtr(), m_matrix.nonZeros(), 0.0);
    }
    /// Adds to entry (row, column), row >= column.
    void add(int row, int column, double value) {
        if (known()) {
            m_matrix.valuePtr()[m_slots[m_next++]] += value;
        } else {
            m_entries.emplace_back(row, column, value);
        }
    }

    /// Factors the sum of the entries as L D L'; false where that fails.
    [[nodiscard]] bool factor(int size) {
        if (!known()) findPattern(size);
        m_factor.factorize(m_matrix);
        return m_factor.info() == Eigen::Success;
    }
    [[nodiscard]] Eigen::VectorXd solve(const Eigen::VectorXd& right) const {
        return m_order.transpose() * m_factor.solve(m_order * right);
    }

private:
    // Eigen leaves out its own ordering, and with it a copy, only where both kinds of index are one.
    using Matrix = Eigen::SparseMatrix<double, Eigen::ColMajor, Eigen::Index>;
    [[nodiscard]] bool known() const { return !m_slots.empty(); }

    /// The matrix is kept in the order of elimination, so that factoring copies nothing.
    void findPattern(int size) {
        Matrix lower(size, size);
        lower.setFromTriplets(m_entries.begin(), m_entries.end());
        Eigen::AMDOrdering<Eigen::Index>()(lower.selfadjointView<Eigen::Lower>(), m_order);
        m_order = m_order.inverse().eval(); // old place -> new place
        const auto place = [&](Eigen::Index index) { return m_order.indices()(index); };
        for (auto& entry : m_entries) {
            const Eigen::Index a = place(entry.row()), b = place(entry.col());
            entry = {std::min(a, b), std::max(a, b), entry.value()};
        }
        m_matrix.resize(size, size);
        m_matrix.setFromTriplets(m_entries.begin(), m_entries.end());
        m_slots.reserve(m_entries.size());
        for (const auto& entry : m_entries) {
            m_slots.push_back(
                static_cast<int>(&m_matrix.coeffRef(entry.row(), entry.col()) - m_matrix.valuePtr()));
        }
        m_entries = {};
        m_factor.analyzePattern(m_matrix);
    }

    std::vector<Eigen::Triplet<double, Eigen::Index>> m_entries; ///< of the first filling
    std::vector<int> m_slots;                                    ///< of each entry among the matrix's values
    std::size_t m_next = 0;                                      ///< slot of the entry that comes
    Matrix m_matrix;                                             ///< upper triangle
    Eigen::PermutationMatrix<Eigen::Dynamic, Eigen::Dynamic, Eigen::Index> m_order;
    Eigen::SimplicialLDLT<Matrix, Eigen::Upper, Eigen::NaturalOrdering<Eigen::Index>> m_factor;
};

} // namespace shimledger::planner
