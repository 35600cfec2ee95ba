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
// Midpoints of half a lobe: exact for products of four harmonics up to 2n (highest 8n, exact below 10n).
constexpr int angles = 5;

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

enum Field { w0, u0, wn, un, vn, w2, u2, v2 };

LobedPlate::Rows strainRows(const HermiteValues& h, double r, int lobes, double angle) {
    const double n = lobes;
    const double c = std::cos(n * angle), s = std::sin(n * angle);
    const double c2 = std::cos(2 * n * angle), s2 = std::sin(2 * n * angle);
    LobedPlate::Rows rows = LobedPlate::Rows::Zero();
    for (int i = 0; i < 4; ++i) {
        const double value = h.value[at(i)], slope = h.slope[at(i)];
        const auto put = [&](int row, Field field, double x) { rows(row, 4 * field + i) = x; };
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
        put(3, w0, slope);
        put(3, wn, c * slope);
        put(3, w2, c2 * slope);
        put(4, wn, -n * s * value / r);
        put(4, w2, -2 * n * s2 * value / r);
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

LobedPlate::LobedPlate(std::vector<double> mesh_radii_mm, int lobes, double extension_n_per_mm,
                       double bending_n_mm, double poisson_ratio)
    : radii_mm(std::move(mesh_radii_mm)), m_extension(extension_n_per_mm), m_poisson(poisson_ratio) {
    for (int e = 0; e < elementCount(); ++e) {
        const double r0 = radii_mm[at(e)];
        const double h = radii_mm[at(e + 1)] - r0;
        Element element;
        element.bending.setZero();
        int at_point = 0;
        for (const GaussPoint& point : fewGaussPoints()) {
            const HermiteValues hermite = hermiteValues(point.position, h);
            const double r = r0 + point.position * h;
            const double weight = two_pi * r * point.weight * h;
            for (const auto& [field, waves] :
                 {std::pair(w0, 0), std::pair(wn, lobes), std::pair(w2, 2 * lobes)}) {
                element.bending.block<4, 4>(4 * field, 4 * field) +=
                    weight * bending_n_mm * bendingAt(hermite, r, waves, poisson_ratio);
            }
            for (int a = 0; a < angles; ++a, ++at_point) {
                const double angle = (a + 0.5) * std::numbers::pi / (lobes * angles);
                element.rows.middleRows<5>(5 * at_point) = strainRows(hermite, r, lobes, angle);
                element.weights[at(at_point)] = weight / angles;
            }
        }
        m_elements.push_back(element);
    }
}

void LobedPlate::evaluate(int element_index, const Vector& dofs, Matrix& tangent, Vector& force) const {
    const Element& element = m_elements[at(element_index)];
    const double nu = m_poisson;
    const double shear = m_extension * (1 - nu) / 2;
    Eigen::Matrix3d plane;
    plane << m_extension, nu * m_extension, 0, nu * m_extension, m_extension, 0, 0, 0, shear;
    const Eigen::Matrix<double, strain_rows, 1> all = element.rows * dofs;
    Eigen::Matrix<double, strain_rows, 1> stresses;
    StrainRows weighted;
    for (int i = 0; i < points_per_element; ++i) {
        const auto x = all.segment<5>(5 * i);
        const double weight = element.weights[at(i)];
        const double wr = x(3), wt = x(4);
        const double e_r = x(0) + wr * wr / 2, e_t = x(1) + wt * wt / 2, g = x(2) + wr * wt;
        const double n_r = m_extension * (e_r + nu * e_t), n_t = m_extension * (e_t + nu * e_r),
                     s = shear * g;
        Eigen::Matrix<double, 5, 1> stress;
        stress << n_r, n_t, s, n_r * wr + s * wt, n_t * wt + s * wr;
        stresses.segment<5>(5 * i) = weight * stress;
        Eigen::Matrix<double, 3, 5> strain = Eigen::Matrix<double, 3, 5>::Zero();
        strain(0, 0) = strain(1, 1) = strain(2, 2) = 1;
        strain(0, 3) = wr, strain(1, 4) = wt, strain(2, 3) = wt, strain(2, 4) = wr;
        Eigen::Matrix<double, 5, 5> middle = strain.transpose() * plane * strain;
        middle(3, 3) += n_r, middle(4, 4) += n_t, middle(3, 4) += s, middle(4, 3) += s;
        weighted.middleRows<5>(5 * i).noalias() =
            (weight * middle).lazyProduct(element.rows.middleRows<5>(5 * i));
    }
    force.noalias() = element.bending * dofs;
    force.noalias() += element.rows.transpose() * stresses;
    tangent = element.bending;
    tangent.triangularView<Eigen::Lower>() += element.rows.transpose() * weighted;
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
