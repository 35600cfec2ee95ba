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

enum Deflection { w0, wn, w2 };
enum Plane { u0, un, vn, u2, v2 };

/// w_r and w_t / r.
Eigen::Matrix<double, 2, LobedPlate::deflection_dofs> tiltRows(const HermiteValues& h, double r, int lobes,
                                                               double angle) {
    const double n = lobes;
    Eigen::Matrix<double, 2, LobedPlate::deflection_dofs> rows;
    rows.setZero();
    for (int i = 0; i < 4; ++i) {
        const double value = h.value[at(i)], slope = h.slope[at(i)];
        rows(0, 4 * w0 + i) = slope;
        rows(0, 4 * wn + i) = std::cos(n * angle) * slope;
        rows(0, 4 * w2 + i) = std::cos(2 * n * angle) * slope;
        rows(1, 4 * wn + i) = -n * std::sin(n * angle) * value / r;
        rows(1, 4 * w2 + i) = -2 * n * std::sin(2 * n * angle) * value / r;
    }
    return rows;
}

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

LobedPlate::LobedPlate(std::vector<double> mesh_radii_mm, int lobes, double extension_n_per_mm,
                       double bending_n_mm, double poisson_ratio)
    : radii_mm(std::move(mesh_radii_mm)), m_extension(extension_n_per_mm), m_poisson(poisson_ratio) {
    const Eigen::Matrix3d stiffness = planeStiffness();
    for (int e = 0; e < elementCount(); ++e) {
        const double r0 = radii_mm[at(e)];
        const double h = radii_mm[at(e + 1)] - r0;
        Element element;
        element.bending.setZero();
        element.plane.setZero();
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
                const auto strains = strainRows(hermite, r, lobes, angle);
                element.tilts.middleRows<2>(2 * at_point) = tiltRows(hermite, r, lobes, angle);
                element.strains.middleRows<3>(3 * at_point) = strains;
                element.weights[at(at_point)] = weight / angles;
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

void LobedPlate::evaluate(int element_index, const Vector& dofs, Matrix& tangent, Vector& force) const {
    const Element& element = m_elements[at(element_index)];
    const Eigen::Matrix3d stiffness = planeStiffness();
    const auto deflections = dofs.head<deflection_dofs>();
    const Eigen::Matrix<double, 2 * points, 1> tilts = element.tilts * deflections;
    const Eigen::Matrix<double, 3 * points, 1> strains = element.strains * dofs.tail<plane_dofs>();
    Eigen::Matrix<double, 2 * points, 1> tilting;  // what works on the tilts ...
    Eigen::Matrix<double, 3 * points, 1> stresses; // ... and on the strains
    TiltRows weighted_tilts;
    Eigen::Matrix<double, 3 * points, deflection_dofs> weighted_strains;
    for (int i = 0; i < points; ++i) {
        const double weight = element.weights[at(i)];
        const double wr = tilts(2 * i), wt = tilts(2 * i + 1);
        const Eigen::Vector3d strain =
            strains.segment<3>(3 * i) + Eigen::Vector3d(wr * wr / 2, wt * wt / 2, wr * wt);
        const Eigen::Vector3d stress = weight * (stiffness * strain);
        stresses.segment<3>(3 * i) = stress;
        tilting(2 * i) = stress(0) * wr + stress(2) * wt;
        tilting(2 * i + 1) = stress(1) * wt + stress(2) * wr;
        Eigen::Matrix<double, 3, 2> change; // of the strains with the tilts
        change << wr, 0, 0, wt, wt, wr;
        const Eigen::Matrix<double, 3, 2> coupled = weight * (stiffness * change);
        Eigen::Matrix2d held = change.transpose() * coupled;
        held(0, 0) += stress(0), held(1, 1) += stress(1), held(0, 1) += stress(2), held(1, 0) += stress(2);
        const auto rows = element.tilts.middleRows<2>(2 * i);
        weighted_tilts.middleRows<2>(2 * i).noalias() = held.lazyProduct(rows);
        weighted_strains.middleRows<3>(3 * i).noalias() = coupled.lazyProduct(rows);
    }
    force.head<deflection_dofs>().noalias() = element.bending * deflections;
    force.head<deflection_dofs>().noalias() += element.tilts.transpose() * tilting;
    force.tail<plane_dofs>().noalias() = element.strains.transpose() * stresses;
    tangent.topLeftCorner<deflection_dofs, deflection_dofs>() = element.bending;
    tangent.topLeftCorner<deflection_dofs, deflection_dofs>().noalias() +=
        element.tilts.transpose() * weighted_tilts;
    tangent.bottomLeftCorner<plane_dofs, deflection_dofs>().noalias() =
        element.strains.transpose() * weighted_strains;
    tangent.bottomRightCorner<plane_dofs, plane_dofs>() = element.plane;
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
