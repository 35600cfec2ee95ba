#pragma once

#include <Eigen/SparseCholesky>
#include <Eigen/SparseCore>

#include <algorithm>
#include <cstddef>
#include <vector>

namespace shimledger::planner {

/// A sparse symmetric system that is summed up from entries again and again. As long as the entries come in
/// the same order, only the first filling sorts them and looks for the order of elimination.
class RefilledSystem {
public:
    /// Takes back all entries; those that follow may come in another order only after newPattern().
    void clear() { m_entries.clear(); }
    void newPattern() { m_slots.clear(); }
    /// Adds to entry (row, column), row >= column.
    void add(int row, int column, double value) { m_entries.emplace_back(row, column, value); }

    /// Factors the sum of the entries as L D L'; false where that fails.
    [[nodiscard]] bool factor(int size) {
        fill(size);
        m_factor.factorize(m_matrix);
        return m_factor.info() == Eigen::Success;
    }
    /// After factor(): whether D has a negative entry, so that the matrix is not positive definite.
    [[nodiscard]] bool negative() const { return (m_factor.vectorD().array() < 0).any(); }
    [[nodiscard]] Eigen::VectorXd solve(const Eigen::VectorXd& right) const { return m_factor.solve(right); }

private:
    void fill(int size) {
        if (m_slots.empty()) {
            m_matrix.resize(size, size);
            m_matrix.setFromTriplets(m_entries.begin(), m_entries.end());
            m_slots.reserve(m_entries.size());
            for (const auto& entry : m_entries) {
                m_slots.push_back(
                    static_cast<int>(&m_matrix.coeffRef(entry.row(), entry.col()) - m_matrix.valuePtr()));
            }
            m_factor.analyzePattern(m_matrix);
            return;
        }
        double* values = m_matrix.valuePtr();
        std::fill(values, values + m_matrix.nonZeros(), 0.0);
        for (std::size_t i = 0; i < m_slots.size(); ++i) values[m_slots[i]] += m_entries[i].value();
    }

    std::vector<Eigen::Triplet<double>> m_entries;
    std::vector<int> m_slots; ///< of each entry among the matrix's values
    Eigen::SparseMatrix<double> m_matrix;
    Eigen::SimplicialLDLT<Eigen::SparseMatrix<double>> m_factor;
};

} // namespace shimledger::planner
