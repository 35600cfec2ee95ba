// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <vector>

namespace shimledger::planner {

enum class InnerEdge { clamped, free, centre };               ///< centre: a solid disc, symmetric at r = 0
enum class OuterEdge { free, clamped_held, clamped_sliding }; ///< held: u = 0; sliding: N_r = 0

/// One annulus to be tabulated. Lengths mm; `node_radii_mm` ascending, inside the annulus, with the outer
/// edge last where that edge is free, and the inner edge first where that one is free (or the centre).
struct PlateShape {
    double inner_radius_mm = 0;
    double outer_radius_mm = 0;
    InnerEdge inner_edge = InnerEdge::clamped;
    OuterEdge outer_edge = OuterEdge::free;
    double poisson_ratio = 0.3;
    double pressure_inner_radius_mm = 0; ///< uniform pressure acts between these radii
    double pressure_outer_radius_mm = 0;
    std::vector<double> node_radii_mm;
};

/// How finely a plate is resolved; the defaults are the default grid, `fineGrid()` the fine one.
struct GridOptions {
    double largest_step_mm = 0.5; ///< most distance between neighbouring contact nodes
    int subdivisions = 3;         ///< Hermite elements between two contact nodes
    int membrane_modes = 7;       ///< terms of the membrane-force expansion
    /// How far apart the contact nodes of the front groups lie where the port ends, and by how much further
    /// for each mm from there; 0 for no such nodes.
    double port_step_mm = 0;
    double port_growth = 0;

    /// For one stack that is looked at: nodes where the port ends, which even ones err by most.
    [[nodiscard]] static GridOptions portGrid() { return {0.7, 2, 7, 0.1, 0.25}; }
    [[nodiscard]] static GridOptions fineGrid() { return {0.2, 3, 14, 0.04, 0.1}; }
    /// For a million curves that are held against each other (the default): twice as fast as the port's, and
    /// what even nodes err by is much the same for stacks that are alike. Where it is not, the search is made
    /// again on the fine grid.
    [[nodiscard]] static GridOptions searchGrid() { return {}; }
};

/// An axisymmetric annular plate reduced to its deflections at the contact nodes.
///
/// Problem: bending (Kirchhoff) and membrane (von Karman) energy of an annulus as functions of the nodal
/// deflections w_i alone. Cubic Hermite elements in w between the nodes; slopes and inner deflections are
/// condensed out, which leaves cardinal plate splines phi_i and the stiffness K. The in-plane displacement
/// u is eliminated through its dual, the radial force N_r = E S1 sum_k c_k s_k(r), s_k polynomials that
/// vanish on free edges, N_t = (r N_r)' : then, with a_k = w' T_k w / 2,
///     energy = D/2 w' K w + E S1/2 sum_k a_k^2,   D = E S3 / (12 (1 - nu^2)).
/// All integrals include 2 pi, so that energies are N mm and nodal forces N.
/// Source of the strains and the energy: S. Timoshenko, S. Woinowsky-Krieger, Theory of Plates and
/// Shells, 2nd ed., art. 97 (large deflections of circular plates) and ch. 3 (bending); checked against
/// Roark's closed forms and a collocation solution in tests/planner.
struct PlateTables {
    int node_count = 0;
    int mode_count = 0;
    std::vector<double> stiffness;     ///< K for D = 1, node_count x node_count, row-major
    std::vector<double> membrane;      ///< T_k for E S1 = 1, mode_count x node_count x node_count
    std::vector<double> pressure_load; ///< nodal forces of unit pressure, or what volume it sweeps

    /// Integral of the slope over the area under pressure (mm^2) by nodal deflection, and of what unit
    /// pressure adds between the nodes for D = 1; its volume (mm^3).
    std::vector<double> slope_integral;
    double pressure_slope_integral = 0;
    double pressure_volume = 0;

    /// Fine radii for drawing and stresses, and there the splines and their derivatives (row-major,
    /// fine_radii_mm.size() x node_count).
    std::vector<double> fine_radii_mm;
    std::vector<std::size_t> fine_of_node; ///< which of them each contact node is
    std::vector<double> deflection;
    std::vector<double> slope;
    std::vector<double> curvature;
    /// What unit pressure adds between the nodes for D = 1: it vanishes at them.
    std::vector<double> pressure_deflection;
    std::vector<double> pressure_slope;
    std::vector<double> pressure_curvature;
    /// Radial membrane force at the fine radii per unit c_k and E S1 (row-major, fine x mode_count),
    /// with c_k = a_k at equilibrium.
    std::vector<double> membrane_force;
    /// Outward displacement of the middle plane there for the same (row-major, fine x mode_count).
    std::vector<double> membrane_displacement;

    PlateTables(const PlateShape& shape, const GridOptions& options);

    /// The amplitudes a_k at nodal deflections `w` (node_count of them).
    [[nodiscard]] std::vector<double> membraneAmplitudes(const double* w) const;
    /// Radial membrane force per E S1 at one of the fine radii.
    [[nodiscard]] double radialForce(const std::vector<double>& amplitudes, std::size_t fine) const;
};

} // namespace shimledger::planner
