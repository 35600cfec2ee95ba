// SPDX-License-Identifier: GPL-3.0-or-later
// Tangent and internal force of a LobedPlate's element: first round the rim, then along the radius.
#include "planner/mechanics/lobed_plate.h"

#include <algorithm>
#include <array>
#include <cstddef>

namespace shimledger::planner {

namespace {

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

// Fields of an element, in the order of LobedPlate.
enum Field { w0, wn, w2, u0, un, vn, u2, v2 };

} // namespace

/// What the angle's integral leaves of energies at one radius. Tilts are counted as slopes of w0, wn, w2n and
/// values over r of wn, w2n; strains as the harmonics 0, n, 2n of e_r, the same of e_t, and n, 2n of g.
struct LobedPlate::Integrals {
    static constexpr int tilts = 5, strains = 8;
    std::array<double, tilts> on_tilt{};
    std::array<double, strains> on_strain{};
    std::array<std::array<double, tilts>, tilts> tilt_tilt{};
    std::array<std::array<double, tilts>, strains> strain_tilt{};

    /// Row of a strain's derivatives, or its force last: what the slope of a plane field meets ...
    using Row = std::array<double, tilts + 1>;
    [[nodiscard]] Row row(std::size_t strain, double factor) const {
        Row row;
        for (std::size_t i = 0; i < tilts; ++i) row[i] = factor * strain_tilt[strain][i];
        row[tilts] = factor * on_strain[strain];
        return row;
    }
    static Row sum(Row a, const Row& b) {
        for (std::size_t i = 0; i < a.size(); ++i) a[i] += b[i];
        return a;
    }
};

LobedPlate::Integrals LobedPlate::roundTheRim(const Point& point, const Vector& dofs) const {
    const auto slope = [&](int field) { return point.slope.dot(dofs.segment<4>(4 * field)); };
    const auto value = [&](int field) { return point.value_by_r.dot(dofs.segment<4>(4 * field)); };
    const double n = m_lobes;
    const std::array<double, 3> tilt_slope{slope(w0), slope(wn), slope(w2)};
    const std::array<double, 2> tilt_value{n * value(wn), 2 * n * value(w2)};
    const std::array<double, 3> radial{slope(u0), slope(un), slope(u2)};
    const double vn_value = value(vn), v2_value = value(v2);
    const double un_value = value(un), u2_value = value(u2);
    const std::array<double, 3> hoop{value(u0), un_value + n * vn_value, u2_value + 2 * n * v2_value};
    const std::array<double, 2> shear{slope(vn) - vn_value - n * un_value,
                                      slope(v2) - v2_value - 2 * n * u2_value};
    const double c = point.weight * m_extension, nu = m_poisson, half = (1 - nu) / 2;
    Integrals sum;
    for (const Angle& angle : m_angles) {
        const auto& even = angle.even;
        const std::array<double, 2> odd{-n * angle.odd[0], -2 * n * angle.odd[1]}; // of w_t / r
        const auto harmonic = [&](const std::array<double, 3>& of) {
            return of[0] + even[1] * of[1] + even[2] * of[2];
        };
        const double wr = harmonic(tilt_slope);
        const double wt = -angle.odd[0] * tilt_value[0] - angle.odd[1] * tilt_value[1];
        const double er = harmonic(radial) + wr * wr / 2, et = harmonic(hoop) + wt * wt / 2;
        const double g = angle.odd[0] * shear[0] + angle.odd[1] * shear[1] + wr * wt;
        const double force_r = c * (er + nu * et), force_t = c * (et + nu * er), force_rt = c * half * g;
        // What works on the tilts, its change with them, and the change of the forces with them.
        const double on_r = force_r * wr + force_rt * wt, on_t = force_t * wt + force_rt * wr;
        const double rr = c * (wr * wr + half * wt * wt) + force_r;
        const double tt = c * (wt * wt + half * wr * wr) + force_t;
        const double rt = c * (nu + half) * wr * wt + force_rt;
        std::array<double, Integrals::tilts> of_r, of_t, of_rt;
        for (std::size_t i = 0; i < 3; ++i) {
            of_r[i] = c * wr * even[i];
            of_t[i] = c * nu * wr * even[i];
            of_rt[i] = c * half * wt * even[i];
        }
        for (std::size_t i = 0; i < 2; ++i) {
            of_r[3 + i] = c * nu * wt * odd[i];
            of_t[3 + i] = c * wt * odd[i];
            of_rt[3 + i] = c * half * wr * odd[i];
        }
        for (std::size_t i = 0; i < 3; ++i) {
            sum.on_tilt[i] += on_r * even[i];
            sum.on_strain[i] += force_r * even[i];
            sum.on_strain[3 + i] += force_t * even[i];
            for (std::size_t j = 0; j <= i; ++j) sum.tilt_tilt[i][j] += rr * even[i] * even[j];
            for (std::size_t j = 0; j < Integrals::tilts; ++j) {
                sum.strain_tilt[i][j] += even[i] * of_r[j];
                sum.strain_tilt[3 + i][j] += even[i] * of_t[j];
            }
        }
        for (std::size_t i = 0; i < 2; ++i) {
            sum.on_tilt[3 + i] += on_t * odd[i];
            sum.on_strain[6 + i] += force_rt * angle.odd[i];
            for (std::size_t j = 0; j < 3; ++j) sum.tilt_tilt[3 + i][j] += rt * odd[i] * even[j];
            for (std::size_t j = 0; j <= i; ++j) sum.tilt_tilt[3 + i][3 + j] += tt * odd[i] * odd[j];
            for (std::size_t j = 0; j < Integrals::tilts; ++j)
                sum.strain_tilt[6 + i][j] += angle.odd[i] * of_rt[j];
        }
    }
    for (std::size_t i = 0; i < Integrals::tilts; ++i) {
        for (std::size_t j = i + 1; j < Integrals::tilts; ++j) sum.tilt_tilt[i][j] = sum.tilt_tilt[j][i];
    }
    return sum;
}

void LobedPlate::evaluate(int element_index, const Vector& dofs, Matrix& tangent, Vector& force) const {
    const Element& element = m_elements[at(element_index)];
    tangent.topLeftCorner<deflection_dofs, deflection_dofs>() = element.bending;
    tangent.bottomLeftCorner<plane_dofs, deflection_dofs>().setZero();
    tangent.bottomRightCorner<plane_dofs, plane_dofs>() = element.plane;
    force.head<deflection_dofs>().noalias() = element.bending * dofs.head<deflection_dofs>();
    force.tail<plane_dofs>().setZero();
    const double n = m_lobes;
    for (const Point& point : element.points) {
        const Integrals sum = roundTheRim(point, dofs);
        const Eigen::Vector4d &g = point.slope, &h = point.value_by_r;
        // A field's freedoms meet `on_slope` through its slope and `on_value` through its value over r; the
        // entries of both are the five tilts' and, last, the force.
        const auto add = [&](int field, int columns, const Integrals::Row& on_slope,
                             const Integrals::Row& on_value) {
            constexpr std::array<std::size_t, 3> value_of{0, 3, 4}; // w0 has none
            for (int column = 0; column < columns; ++column) {
                const std::size_t slope = at(column), value = value_of[at(column)];
                Eigen::Vector4d by_slope = on_slope[slope] * g, by_value = on_value[slope] * g;
                if (column > 0) {
                    by_slope += on_slope[value] * h;
                    by_value += on_value[value] * h;
                }
                auto block = tangent.block<4, 4>(4 * field, 4 * column);
                for (int j = 0; j < 4; ++j) block.col(j) += by_slope(j) * g + by_value(j) * h;
            }
            force.segment<4>(4 * field) += on_slope.back() * g + on_value.back() * h;
        };
        const auto tilt = [&](std::size_t i) {
            Integrals::Row row;
            std::copy(sum.tilt_tilt[i].begin(), sum.tilt_tilt[i].end(), row.begin());
            row.back() = sum.on_tilt[i];
            return row;
        };
        add(w0, 1, tilt(0), {});
        add(wn, 2, tilt(1), tilt(3));
        add(w2, 3, tilt(2), tilt(4));
        add(u0, 3, sum.row(0, 1), sum.row(3, 1));
        add(un, 3, sum.row(1, 1), Integrals::sum(sum.row(4, 1), sum.row(6, -n)));
        add(vn, 3, sum.row(6, 1), Integrals::sum(sum.row(4, n), sum.row(6, -1)));
        add(u2, 3, sum.row(2, 1), Integrals::sum(sum.row(5, 1), sum.row(7, -2 * n)));
        add(v2, 3, sum.row(7, 1), Integrals::sum(sum.row(5, 2 * n), sum.row(7, -1)));
    }
}

} // namespace shimledger::planner
