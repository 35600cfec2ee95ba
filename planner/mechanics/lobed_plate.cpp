// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/lobed_plate.h"

#include "planner/mechanics/hermite_element.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <utility>

namespace shimledger::planner {

namespace {

constexpr double two_pi = 2 * std::numbers::pi;

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

enum Deflection { w0, wn, w2 };
enum Plane { u0, un, vn, u2, v2 };

/// The linear strains e_r, e_t, g.
Eigen::Matrix<double, 3, LobedPlate::plane_dofs> strainRows(const HermiteValues& h, double r, int lobes,
                                                            double angle) {
    const double n = lobes;
    const double c = std::cos(n * angle), s = std::sin(n * angle);
    const double c2 = std::cos(2 * n * angle), s2 = std::sin(2 * n * angle);
    Eigen::Matrix<double, 3, LobedPlate::plane_dofs> rows;
    rows.setZero();
    for (int i = 0; i < 4; ++i) {
        const double value = h.value[at(i)], slope = h.slope[at(i)];
        const auto put = [&](int row, Plane field, double x) { rows(row, 4 * field + i) = x; };
        put(0, u0, slope);
        put(0, un, c * slope);
        put(0, u2, c2 * slope);
        put(1, u0, value / r);
        put(1, un, c * value / r);
        put(1, u2, c2 * value / r);
        put(1, vn, n * c * value / r);
        put(1, v2, 2 * n * c2 * value / r);
        put(2, vn, s * (slope - value / r));
        put(2, v2, s2 * (slope - value / r));
        put(2, un, -n * s * value / r);
        put(2, u2, -2 * n * s2 * value / r);
    }
    return rows;
}

/// Bending stiffness of one harmonic of w at one point, for D = 1; `waves` round the rim.
Eigen::Matrix4d bendingAt(const HermiteValues& h, double r, double waves, double nu) {
    Eigen::RowVector4d radial, hoop, twist;
    for (int i = 0; i < 4; ++i) {
        const double value = h.value[at(i)], slope = h.slope[at(i)];
        radial(i) = -h.curvature[at(i)];
        hoop(i) = -(slope / r - waves * waves * value / (r * r));
        twist(i) = 2 * waves * (slope / r - value / (r * r));
    }
    const double mean = waves > 0 ? 0.5 : 1.0;
    return mean * (radial.transpose() * radial + hoop.transpose() * hoop +
                   nu * (radial.transpose() * hoop + hoop.transpose() * radial) +
                   (1 - nu) / 2 * twist.transpose() * twist);
}

} // namespace

// Midpoints of half a lobe: exact for products of four harmonics up to 2n (highest 8n, exact below 10n).
LobedPlate::LobedPlate(std::vector<double> mesh_radii_mm, int lobes, double extension_n_per_mm,
                       double bending_n_mm, double poisson_ratio)
    : radii_mm(std::move(mesh_radii_mm)), m_lobes(lobes), m_extension(extension_n_per_mm),
      m_poisson(poisson_ratio) {
    const Eigen::Matrix3d stiffness = planeStiffness();
    for (int a = 0; a < angles; ++a) {
        const double phase = (a + 0.5) * std::numbers::pi / angles;
        m_angles[at(a)] = {{1.0, std::cos(phase), std::cos(2 * phase)},
                           {std::sin(phase), std::sin(2 * phase)}};
    }
    for (int e = 0; e < elementCount(); ++e) {
        const double r0 = radii_mm[at(e)];
        const double h = radii_mm[at(e + 1)] - r0;
        Element element;
        element.bending.setZero();
        element.plane.setZero();
        for (std::size_t q = 0; q < radial_points; ++q) {
            const GaussPoint& point = fewGaussPoints()[q];
            const HermiteValues hermite = hermiteValues(point.position, h);
            const double r = r0 + point.position * h;
            const double weight = two_pi * r * point.weight * h;
            element.points[q] = {Eigen::Map<const Eigen::Vector4d>(hermite.slope.data()),
                                 Eigen::Map<const Eigen::Vector4d>(hermite.value.data()) / r,
                                 weight / angles};
            for (const auto& [field, waves] :
                 {std::pair(w0, 0), std::pair(wn, lobes), std::pair(w2, 2 * lobes)}) {
                element.bending.block<4, 4>(4 * field, 4 * field) +=
                    weight * bending_n_mm * bendingAt(hermite, r, waves, poisson_ratio);
            }
            for (int a = 0; a < angles; ++a) {
                const double angle = (a + 0.5) * std::numbers::pi / (lobes * angles);
                const auto strains = strainRows(hermite, r, lobes, angle);
                element.plane.noalias() += (weight / angles) * (strains.transpose() * stiffness * strains);
            }
        }
        m_elements.push_back(element);
    }
}

Eigen::Matrix3d LobedPlate::planeStiffness() const {
    Eigen::Matrix3d stiffness;
    stiffness << m_extension, m_poisson * m_extension, 0, m_poisson * m_extension, m_extension, 0, 0, 0,
        m_extension * (1 - m_poisson) / 2;
    return stiffness;
}

LobedPlate::Vector LobedPlate::pressureLoad(int element, double from_mm, double to_mm,
                                            double lobed_part) const {
    Vector load = Vector::Zero();
    const double r0 = radii_mm[at(element)];
    const double h = radii_mm[at(element + 1)] - r0;
    const double low = std::max(from_mm, r0), high = std::min(to_mm, r0 + h);
    if (high <= low) return load;
    for (const GaussPoint& point : gaussPoints()) {
        const double r = low + point.position * (high - low);
        const HermiteValues hermite = hermiteValues((r - r0) / h, h);
        const double weight = two_pi * r * point.weight * (high - low);
        for (int i = 0; i < 4; ++i) {
            load(4 * w0 + i) += weight * hermite.value[at(i)];
            load(4 * wn + i) += 0.5 * lobed_part * weight * hermite.value[at(i)];
        }
    }
    return load;
}

} // namespace shimledger::planner
