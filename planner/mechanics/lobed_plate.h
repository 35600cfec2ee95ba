// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>

#include <array>
#include <vector>

namespace shimledger::planner {

/// A plate whose shape has three harmonics in the angle (0, n, 2n) and cubic Hermite elements along the
/// radius:
///   w = w0 + wn cos(n t) + w2n cos(2n t), u likewise, v = vn sin(n t) + v2n sin(2n t)
/// with von Karman strains in polar coordinates (Timoshenko & Woinowsky-Krieger, Theory of Plates and
/// Shells, ch. 13). Eight fields of two freedoms at each mesh node: value and slope.
/// All integrals run round the whole circle: energies N mm, forces N.
struct LobedPlate {
    static constexpr int fields = 8; ///< w0 wn w2n, then u0 un vn u2n v2n
    static constexpr int dofs_per_node = 2 * fields;
    static constexpr int element_dofs = 4 * fields;
    using Matrix = Eigen::Matrix<double, element_dofs, element_dofs>;
    using Vector = Eigen::Matrix<double, element_dofs, 1>;

    static constexpr int deflection_dofs = 12; ///< of an element: those of w, which come first
    static constexpr int plane_dofs = element_dofs - deflection_dofs;

    LobedPlate(std::vector<double> mesh_radii_mm, int lobes, double extension_n_per_mm, double bending_n_mm,
               double poisson_ratio);

    [[nodiscard]] int elementCount() const { return static_cast<int>(radii_mm.size()) - 1; }
    /// Tangent (lower triangle only) and internal force of one element at `dofs`.
    void evaluate(int element, const Vector& dofs, Matrix& tangent, Vector& force) const;
    /// Forces of unit pressure between two radii: on w0, and with `lobed_part` on wn.
    [[nodiscard]] Vector pressureLoad(int element, double from_mm, double to_mm, double lobed_part) const;

    std::vector<double> radii_mm;

private:
    static constexpr int angles = 5; ///< integration points round half a lobe
    static constexpr int radial_points = 4;
    /// At one radius, what an element's freedoms of one field give: its slope and its value over r.
    struct Point {
        Eigen::Vector4d slope, value_by_r;
        double weight = 0;
    };
    struct Element {
        std::array<Point, radial_points> points;
        Eigen::Matrix<double, deflection_dofs, deflection_dofs> bending;
        Eigen::Matrix<double, plane_dofs, plane_dofs> plane; ///< the linear part, which never changes
    };
    /// The harmonics at one angle.
    struct Angle {
        std::array<double, 3> even; ///< 1, cos(n t), cos(2 n t)
        std::array<double, 2> odd;  ///< sin(n t), sin(2 n t)
    };
    struct Integrals;

    [[nodiscard]] Eigen::Matrix3d planeStiffness() const;
    [[nodiscard]] Integrals roundTheRim(const Point& point, const Vector& dofs) const;

    int m_lobes;
    double m_extension, m_poisson;
    std::array<Angle, angles> m_angles{};
    std::vector<Element> m_elements;
};

} // namespace shimledger::planner
