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
    static constexpr int points = 20; // of an element: four along the radius, five round half a lobe
    /// Rows that give, from an element's freedoms, w_r and w_t / r at every point, one point below the other.
    using TiltRows = Eigen::Matrix<double, 2 * points, deflection_dofs>;
    /// The same for the linear strains e_r, e_t, g.
    using StrainRows = Eigen::Matrix<double, 3 * points, plane_dofs>;
    struct Element {
        TiltRows tilts;
        StrainRows strains;
        std::array<double, points> weights;
        Eigen::Matrix<double, deflection_dofs, deflection_dofs> bending;
        Eigen::Matrix<double, plane_dofs, plane_dofs> plane; ///< the linear part, which never changes
    };

    [[nodiscard]] Eigen::Matrix3d planeStiffness() const;

    double m_extension, m_poisson;
    std::vector<Element> m_elements;
};

} // namespace shimledger::planner
