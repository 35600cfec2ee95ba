// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/lobed_group.h"

#include <algorithm>
#include <cstddef>

namespace shimledger::planner {

namespace {

constexpr int band_width = 4; // entries of a row up to its diagonal: two places of two freedoms

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

} // namespace

LobedGroup::LobedGroup(const PlateTables& tables, const GroupShape& shape)
    : m_poisson(shape.poisson_ratio), m_size(2 * tables.node_count),
      m_elements(lobedElements(tables, shape.ring)), m_membrane(m_elements, shape, m_size),
      m_stiffness(m_elements.size()), m_slopes(m_elements.size()), m_band(at(band_width * m_size), 0.0) {
    makeBending();
}

/// Curvatures -a, -c + n^2 d and 2 n (c - d) with a = W'', c = W'/r, d = W/r^2.
void LobedGroup::makeBending() {
    const double nu = m_poisson;
    for (std::size_t e = 0; e < m_elements.size(); ++e) {
        std::array<Square, 3>& bending = m_stiffness[e].bending;
        for (const LobedElement::Point& point : m_elements[e].points) {
            const HermiteValues& h = point.hermite;
            const double r = point.radius, weight = point.weight * r;
            for (std::size_t i = 0; i < 4; ++i) {
                const double ai = h.curvature[i], ci = h.slope[i] / r, di = h.value[i] / (r * r);
                for (std::size_t j = 0; j <= i; ++j) {
                    const double aj = h.curvature[j], cj = h.slope[j] / r, dj = h.value[j] / (r * r);
                    bending[0][4 * i + j] += weight * (ai * aj + ci * cj + nu * (ai * cj + ci * aj));
                    bending[1][4 * i + j] += weight * (-(ci * dj + di * cj) - nu * (ai * dj + di * aj) +
                                                       2 * (1 - nu) * (ci - di) * (cj - dj));
                    bending[2][4 * i + j] += weight * di * dj;
                }
            }
        }
    }
}

void LobedGroup::setState(const RoundShape& round, const GroupSums& sums) {
    m_rigidity = sums.bending_n_mm / (12 * (1 - m_poisson * m_poisson));
    m_extension = sums.membrane_n_per_mm;
    for (std::size_t e = 0; e < m_elements.size(); ++e) {
        const double force0 = round.radial_force[2 * e], force1 = round.radial_force[2 * e + 1],
                     force2 = round.radial_force[2 * e + 2];
        Square& on_slopes = m_stiffness[e].radial;
        Square& on_values = m_stiffness[e].hoop;
        on_slopes.fill(0.0);
        on_values.fill(0.0);
        for (std::size_t q = 0; q < lobed_points; ++q) {
            const LobedElement::Point& point = m_elements[e].points[q];
            const std::array<double, 4>&value = point.hermite.value, &slope = point.hermite.slope;
            const double s = point.position, r = point.radius;
            m_slopes[e][q] = slope[0] * round.deflection_mm[e] + slope[1] * round.slope[e] +
                             slope[2] * round.deflection_mm[e + 1] + slope[3] * round.slope[e + 1];
            // The parabola through both ends and the middle, and N_t = (r N_r)'.
            const double radial =
                force0 * (1 - s) * (1 - 2 * s) + 4 * force1 * s * (1 - s) + force2 * s * (2 * s - 1);
            const double change = (force0 * (4 * s - 3) + force1 * (4 - 8 * s) + force2 * (4 * s - 1)) /
                                  m_elements[e].length_mm;
            const double on_slope = point.weight * r * radial;
            const double on_value = point.weight * (radial + r * change) / r;
            for (std::size_t i = 0; i < 4; ++i) {
                for (std::size_t j = 0; j <= i; ++j) {
                    on_slopes[4 * i + j] += on_slope * slope[i] * slope[j];
                    on_values[4 * i + j] += on_value * value[i] * value[j];
                }
            }
        }
    }
    m_membrane.setSlopes(m_slopes);
}

/// Bending and what the forces do, as rows of `band_width` entries that end on the diagonal.
void LobedGroup::makeBand(int lobes) {
    const double n2 = lobes * lobes;
    std::fill(m_band.begin(), m_band.end(), 0.0);
    for (std::size_t e = 0; e < m_elements.size(); ++e) {
        const Stiffness& part = m_stiffness[e];
        for (int i = m_elements[e].firstFree(); i < 4; ++i) {
            double* diagonal =
                m_band.data() + band_width * (m_elements[e].first_freedom + i) + band_width - 1;
            for (int j = m_elements[e].firstFree(); j <= i; ++j) {
                const std::size_t entry = at(4 * i + j);
                diagonal[j - i] +=
                    m_rigidity * (part.bending[0][entry] +
                                  n2 * (part.bending[1][entry] + n2 * part.bending[2][entry])) +
                    part.radial[entry] + n2 * part.hoop[entry];
            }
        }
    }
}

bool LobedGroup::surelyStable(int lobes) {
    makeBand(lobes);
    // L D L' within the band.
    const auto diagonalOf = [&](int i) { return m_band.data() + band_width * i + band_width - 1; };
    for (int i = 0; i < m_size; ++i) {
        double* row = diagonalOf(i);
        const int first = std::max(0, i - band_width + 1);
        for (int j = first; j < i; ++j) {
            const double* other = diagonalOf(j);
            for (int k = first; k < j; ++k) row[j - i] -= row[k - i] * other[k - j]; // L_ij D_j for now
        }
        for (int j = first; j < i; ++j) {
            const double scaled = row[j - i] / *diagonalOf(j);
            *row -= scaled * row[j - i];
            row[j - i] = scaled;
        }
        if (!(*row > 0)) return false;
    }
    return true;
}

void LobedGroup::evaluate(int lobes, std::vector<double>& matrix) {
    constexpr int modes = LobedMembrane::modes;
    static_assert(modes % 4 == 0);
    const int n = m_size;
    const double* rows = m_membrane.rows(m_elements, lobes);
    matrix.resize(at(n * n));
    for (int i = 0; i < n; ++i) {
        double* __restrict row = matrix.data() + i * n;
        std::fill_n(row, i + 1, 0.0);
        for (int k = 0; k < modes; k += 4) { // four at a time, since fetching the row costs more than adding
            const double *a = rows + k * n, *b = a + n, *c = b + n, *d = c + n;
            const double fa = m_extension * a[i], fb = m_extension * b[i], fc = m_extension * c[i],
                         fd = m_extension * d[i];
            for (int j = 0; j <= i; ++j) row[j] += (fa * a[j] + fb * b[j]) + (fc * c[j] + fd * d[j]);
        }
    }
    makeBand(lobes);
    for (int i = 0; i < n; ++i) {
        for (int j = std::max(0, i - band_width + 1); j <= i; ++j)
            matrix[at(i * n + j)] += m_band[at(band_width * i + band_width - 1 + j - i)];
    }
}

} // namespace shimledger::planner
