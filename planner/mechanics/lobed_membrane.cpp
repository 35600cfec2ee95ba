// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/lobed_membrane.h"

#include <Eigen/Cholesky>
#include <Eigen/Core>

#include <algorithm>
#include <stdexcept>

namespace shimledger::planner {

namespace {

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

/// Stress functions and their first two slopes: Legendre polynomials times the squares of the distances from
/// free edges, all as parts of the width.
struct StressFunctions {
    double inner, outer;
    bool inner_free;

    using Values = std::array<double, LobedMembrane::modes>;
    void evaluate(double r, Values& f, Values& f1, Values& f2) const {
        const double width = outer - inner;
        const double out = (outer - r) / width, in = (r - inner) / width;
        double g = out * out, g1 = -2 * out / width, g2 = 2 / (width * width); // and slopes
        if (inner_free) {
            const double h = in * in, h1 = 2 * in / width, h2 = g2;
            g2 = g2 * h + 2 * g1 * h1 + g * h2;
            g1 = g1 * h + g * h1;
            g *= h;
        }
        const double x = 2 * in - 1, dx = 2 / width;
        double p = 1, p1 = 0, p2 = 0, before = 0, before1 = 0, before2 = 0;
        for (int k = 0; k < LobedMembrane::modes; ++k) {
            f[at(k)] = g * p;
            f1[at(k)] = g1 * p + g * p1;
            f2[at(k)] = g2 * p + 2 * g1 * p1 + g * p2;
            const double a = (2.0 * k + 1) / (k + 1), b = static_cast<double>(k) / (k + 1);
            const double next = a * x * p - b * before;
            const double next1 = a * (dx * p + x * p1) - b * before1;
            const double next2 = a * (2 * dx * p1 + x * p2) - b * before2;
            before = p, before1 = p1, before2 = p2;
            p = next, p1 = next1, p2 = next2;
        }
    }
};

} // namespace

/// N_r = p - n^2 q, N_t = t, N_rt = n (p - q) with p = f'/r, q = f/r^2, t = f''; the energy of a unit
/// membrane is half of N_r^2 + N_t^2 - 2 nu N_r N_t + 2 (1 + nu) N_rt^2.
LobedMembrane::LobedMembrane(const std::vector<LobedElement>& elements, const GroupShape& shape, int freedoms)
    : m_freedoms(freedoms), m_functions(elements.size()), m_slopes(elements.size()) {
    using Column = Eigen::Matrix<double, modes, 1>;
    using Gram = Eigen::Matrix<double, modes, modes>;
    const StressFunctions trial{shape.inner_radius_mm, shape.outer_radius_mm, shape.ring};
    const double nu = shape.poisson_ratio;
    std::array<Gram, 3> gram{Gram::Zero(), Gram::Zero(), Gram::Zero()}; // by power of n^2
    StressFunctions::Values f{}, f1{}, f2{};
    for (std::size_t e = 0; e < elements.size(); ++e) {
        for (std::size_t i = 0; i < lobed_points; ++i) {
            const LobedElement::Point& point = elements[e].points[i];
            const double r = point.radius, weight = point.weight * r;
            trial.evaluate(r, f, f1, f2);
            const Column p = Eigen::Map<const Column>(f1.data()) / r;
            const Column q = Eigen::Map<const Column>(f.data()) / (r * r);
            const Column t = Eigen::Map<const Column>(f2.data());
            const Column shear = p - q;
            gram[0].noalias() += (weight * (p - nu * t)) * p.transpose();
            gram[0].noalias() += (weight * (t - nu * p)) * t.transpose();
            gram[1].noalias() += (weight * (nu * t - p)) * q.transpose();
            gram[1].noalias() += (weight * q) * (nu * t - p).transpose();
            gram[1].noalias() += (2 * (1 + nu) * weight * shear) * shear.transpose();
            gram[2].noalias() += (weight * q) * q.transpose();
            Functions& functions = m_functions[e][i];
            functions.slope = f1;
            Eigen::Map<Column>(functions.by_r.data()) = r * q;
            Eigen::Map<Column>(functions.shear.data()) = shear;
        }
    }
    for (int lobes = fewest_lobes; lobes <= most_lobes; ++lobes) {
        const double n2 = lobes * lobes;
        const Eigen::LLT<Gram> factor(gram[0] + n2 * gram[1] + n2 * n2 * gram[2]);
        if (factor.info() != Eigen::Success)
            throw std::logic_error("the stress functions are not independent");
        Eigen::Map<Eigen::Matrix<double, modes, modes, Eigen::RowMajor>>(m_to_modes[at(lobes)].data()) =
            factor.matrixL().solve(Gram::Identity());
    }
    m_coupling.assign(at(modes * m_freedoms), 0.0);
    m_coupling_lobed = m_rows = m_coupling;
}

void LobedMembrane::setSlopes(const std::vector<std::array<double, lobed_points>>& slopes) {
    m_slopes = slopes;
    m_coupling_current = false;
}

void LobedMembrane::makeCoupling(const std::vector<LobedElement>& elements) {
    std::fill(m_coupling.begin(), m_coupling.end(), 0.0);
    std::fill(m_coupling_lobed.begin(), m_coupling_lobed.end(), 0.0);
    for (std::size_t e = 0; e < elements.size(); ++e) {
        const LobedElement& element = elements[e];
        for (std::size_t q = 0; q < lobed_points; ++q) {
            const LobedElement::Point& point = element.points[q];
            const Functions& functions = m_functions[e][q];
            const double round_slope = point.weight * m_slopes[e][q];
            for (int i = element.firstFree(); i < 4; ++i) {
                double* plain = m_coupling.data() + element.first_freedom + i;
                double* lobed = m_coupling_lobed.data() + element.first_freedom + i;
                const double on_slope = round_slope * point.hermite.slope[at(i)];
                const double on_value = round_slope * point.hermite.value[at(i)];
                for (std::size_t k = 0; k < modes; ++k) {
                    plain[k * at(m_freedoms)] += on_slope * functions.slope[k];
                    lobed[k * at(m_freedoms)] -= on_slope * functions.by_r[k] + on_value * functions.shear[k];
                }
            }
        }
    }
    m_coupling_current = true;
}

const double* LobedMembrane::rows(const std::vector<LobedElement>& elements, int lobes) {
    if (!m_coupling_current) makeCoupling(elements);
    const double n2 = lobes * lobes;
    const double* to_modes = m_to_modes[at(lobes)].data();
    for (int k = 0; k < modes; ++k) {
        double* __restrict row = m_rows.data() + k * m_freedoms;
        std::fill_n(row, m_freedoms, 0.0);
        for (int l = 0; l <= k; ++l) {
            const double c = to_modes[k * modes + l], c2 = n2 * c;
            const double* plain = m_coupling.data() + l * m_freedoms;
            const double* lobed = m_coupling_lobed.data() + l * m_freedoms;
            for (int i = 0; i < m_freedoms; ++i) row[i] += c * plain[i] + c2 * lobed[i];
        }
    }
    return m_rows.data();
}

} // namespace shimledger::planner
