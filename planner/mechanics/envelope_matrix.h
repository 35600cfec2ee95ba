// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/dot_product.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace shimledger::planner {

/// A symmetric matrix kept by rows from its first nonzero to the diagonal, factored as L D L' in place.
/// The factor stays inside the envelope (A. George, J. Liu, Computer Solution of Large Sparse Positive
/// Definite Systems, 1981), so discs that do not touch cost nothing.
class EnvelopeMatrix {
public:
    /// Room for any matrix up to `size`; later calls do not allocate.
    void reserve(int size) {
        const auto n = static_cast<std::size_t>(size);
        m_first.resize(n);
        m_row.resize(n);
        m_inverse_pivot.resize(n);
        m_values.resize(n * (n + 1) / 2);
    }

    /// Empties the matrix; `first[i]` is the first column of row i.
    void reset(const std::vector<int>& first, int size) {
        m_size = size;
        std::ptrdiff_t start = 0;
        for (int i = 0; i < size; ++i) {
            const auto row = static_cast<std::size_t>(i);
            m_first[row] = first[row];
            m_row[row] = start - first[row];
            start += i - first[row] + 1;
        }
        std::fill_n(m_values.begin(), start, 0.0);
    }

    /// Entry (i, j), j <= i, within the envelope.
    double& at(int i, int j) {
        return m_values[static_cast<std::size_t>(m_row[static_cast<std::size_t>(i)] + j)];
    }

    /// False where a pivot is not clearly nonzero beside the diagonal that it came from; a negative one
    /// passes.
    bool factor() {
        for (int i = 0; i < m_size; ++i) {
            double* row = line(i);
            const int first = m_first[static_cast<std::size_t>(i)];
            const double diagonal = std::abs(row[i]);
            for (int j = first; j < i; ++j) {
                const double* other = line(j);
                const int from = std::max(first, m_first[static_cast<std::size_t>(j)]);
                const double sum = row[j] - dotProduct(row + from, other + from, j - from);
                row[j] = sum; // L_ij D_j for now
            }
            double pivot = row[i];
            for (int j = first; j < i; ++j) {
                const double scaled = row[j] * m_inverse_pivot[static_cast<std::size_t>(j)];
                pivot -= scaled * row[j];
                row[j] = scaled;
            }
            row[i] = pivot;
            m_inverse_pivot[static_cast<std::size_t>(i)] = 1 / pivot;
            if (!(std::abs(pivot) > 1e-13 * diagonal)) return false;
        }
        return true;
    }

    /// Solves in place after factor().
    void solve(double* x) const {
        for (int i = 0; i < m_size; ++i) {
            const double* row = line(i);
            const int from = m_first[static_cast<std::size_t>(i)];
            x[i] -= dotProduct(row + from, x + from, i - from);
        }
        for (int i = 0; i < m_size; ++i) x[i] *= m_inverse_pivot[static_cast<std::size_t>(i)];
        for (int i = m_size - 1; i >= 0; --i) {
            const double* row = line(i);
            const double value = x[i];
            for (int j = m_first[static_cast<std::size_t>(i)]; j < i; ++j) x[j] -= row[j] * value;
        }
    }

    [[nodiscard]] int size() const { return m_size; }

    /// After factor(): how many pivots are negative, which is how many negative eigenvalues the matrix has
    /// (J. J. Sylvester's law of inertia), and the last pivot. At least one row.
    [[nodiscard]] int negativePivots() const {
        return static_cast<int>(std::count_if(m_inverse_pivot.begin(), m_inverse_pivot.begin() + m_size,
                                              [](double inverse) { return inverse < 0; }));
    }
    [[nodiscard]] double lastPivot() const {
        return 1 / m_inverse_pivot[static_cast<std::size_t>(m_size - 1)];
    }

private:
    double* line(int i) { return m_values.data() + m_row[static_cast<std::size_t>(i)]; }
    [[nodiscard]] const double* line(int i) const {
        return m_values.data() + m_row[static_cast<std::size_t>(i)];
    }

    int m_size = 0;
    std::vector<int> m_first;
    std::vector<std::ptrdiff_t> m_row;
    std::vector<double> m_values;
    std::vector<double> m_inverse_pivot;
};

} // namespace shimledger::planner
