// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/plate_tables.h"

#include "planner/mechanics/hermite_element.h"

#include <Eigen/Cholesky>
#include <Eigen/Core>

#include <algorithm>
#include <numbers>
#include <stdexcept>

namespace shimledger::planner {

namespace {

using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double two_pi = 2 * std::numbers::pi;

/// The Hermite mesh: every interval between edges and contact nodes cut into equal elements.
struct Mesh {
    std::vector<double> radii;
    std::vector<int> node_of_contact; ///< mesh node of each contact node
};

Mesh makeMesh(const PlateShape& shape, int subdivisions) {
    std::vector<double> breaks = shape.node_radii_mm;
    if (breaks.empty() || breaks.front() > shape.inner_radius_mm)
        breaks.insert(breaks.begin(), shape.inner_radius_mm);
    if (breaks.back() < shape.outer_radius_mm) breaks.push_back(shape.outer_radius_mm);
    Mesh mesh;
    mesh.radii.push_back(breaks.front());
    const auto note = [&](double radius) {
        for (const double node : shape.node_radii_mm) {
            if (node == radius) mesh.node_of_contact.push_back(static_cast<int>(mesh.radii.size()) - 1);
        }
    };
    note(breaks.front());
    for (std::size_t i = 1; i < breaks.size(); ++i) {
        const double step = (breaks[i] - breaks[i - 1]) / subdivisions;
        for (int part = 1; part < subdivisions; ++part) mesh.radii.push_back(breaks[i - 1] + part * step);
        mesh.radii.push_back(breaks[i]);
        note(breaks[i]);
    }
    if (mesh.node_of_contact.size() != shape.node_radii_mm.size()) {
        throw std::logic_error("contact nodes must be ascending and lie inside the plate");
    }
    return mesh;
}

/// Calls `visit(element, r, weight, values)` at every Gauss point of [from, to], split at mesh nodes;
/// weight is 2 pi r dr.
template <typename Visit>
void integrate(const Mesh& mesh, double from, double to, Visit visit) {
    for (std::size_t e = 0; e + 1 < mesh.radii.size(); ++e) {
        const double r0 = mesh.radii[e];
        const double h = mesh.radii[e + 1] - r0;
        const double low = std::max(from, r0);
        const double high = std::min(to, r0 + h);
        if (high <= low) continue;
        for (const GaussPoint& point : gaussPoints()) {
            const double r = low + point.position * (high - low);
            visit(static_cast<int>(e), r, two_pi * r * point.weight * (high - low),
                  hermiteValues((r - r0) / h, h));
        }
    }
}

MatrixXd bendingStiffness(const Mesh& mesh, const PlateShape& shape) {
    const auto size = static_cast<Eigen::Index>(2 * mesh.radii.size());
    MatrixXd stiffness = MatrixXd::Zero(size, size);
    const double nu = shape.poisson_ratio;
    integrate(mesh, shape.inner_radius_mm, shape.outer_radius_mm,
              [&](int e, double r, double weight, const HermiteValues& v) {
                  for (int i = 0; i < 4; ++i) {
                      for (int j = 0; j < 4; ++j) {
                          const auto a = static_cast<std::size_t>(i);
                          const auto b = static_cast<std::size_t>(j);
                          const double hoop_a = v.slope[a] / r;
                          const double hoop_b = v.slope[b] / r;
                          stiffness(2 * e + i, 2 * e + j) +=
                              weight * (v.curvature[a] * v.curvature[b] + hoop_a * hoop_b +
                                        nu * (v.curvature[a] * hoop_b + hoop_a * v.curvature[b]));
                      }
                  }
              });
    return stiffness;
}

/// Integral of the Hermite functions, or of their slopes, over the area under pressure.
VectorXd pressureIntegral(const Mesh& mesh, const PlateShape& shape,
                          std::array<double, 4> HermiteValues::*of) {
    VectorXd integral = VectorXd::Zero(static_cast<Eigen::Index>(2 * mesh.radii.size()));
    integrate(mesh, shape.pressure_inner_radius_mm, shape.pressure_outer_radius_mm,
              [&](int e, double, double weight, const HermiteValues& v) {
                  for (int i = 0; i < 4; ++i)
                      integral(2 * e + i) += weight * (v.*of)[static_cast<std::size_t>(i)];
              });
    return integral;
}

/// Mesh degrees of freedom that are neither held by an edge nor a contact deflection.
std::vector<Eigen::Index> innerFreedoms(const Mesh& mesh, const PlateShape& shape) {
    const auto size = 2 * mesh.radii.size();
    std::vector<bool> taken(size, false);
    for (const int node : mesh.node_of_contact) taken[2 * static_cast<std::size_t>(node)] = true;
    if (shape.inner_edge == InnerEdge::clamped) taken[0] = taken[1] = true;
    if (shape.inner_edge == InnerEdge::centre) taken[1] = true;
    if (shape.outer_edge != OuterEdge::free) taken[size - 2] = taken[size - 1] = true;
    std::vector<Eigen::Index> inner;
    for (std::size_t i = 0; i < size; ++i) {
        if (!taken[i]) inner.push_back(static_cast<Eigen::Index>(i));
    }
    return inner;
}

/// Mesh values of the cardinal splines (one column a contact node) and of the pressure bubble.
struct Condensed {
    MatrixXd splines;
    VectorXd bubble;
};

Condensed condense(const Mesh& mesh, const PlateShape& shape, const MatrixXd& stiffness,
                   const VectorXd& load) {
    const std::vector<Eigen::Index> inner = innerFreedoms(mesh, shape);
    const auto contacts = static_cast<Eigen::Index>(mesh.node_of_contact.size());
    Condensed result{MatrixXd::Zero(stiffness.rows(), contacts), VectorXd::Zero(stiffness.rows())};
    std::vector<Eigen::Index> outer;
    for (const int node : mesh.node_of_contact) outer.push_back(2 * node);
    for (Eigen::Index j = 0; j < contacts; ++j) result.splines(outer[static_cast<std::size_t>(j)], j) = 1;
    const Eigen::LDLT<MatrixXd> factor(MatrixXd(stiffness(inner, inner)));
    const MatrixXd splines = factor.solve(MatrixXd(-stiffness(inner, outer)));
    const VectorXd bubble = factor.solve(VectorXd(load(inner)));
    result.splines(inner, Eigen::all) = splines;
    result.bubble(inner) = bubble;
    return result;
}

/// Trial functions of the radial membrane force: Legendre polynomials on the annulus times factors that
/// vanish where the edge is free to move in its plane.
struct ForceModes {
    double inner, outer;
    bool zero_inside, zero_outside;
    int count;

    /// value[k] = s_k(r), slope[k] = s_k'(r)
    void evaluate(double r, VectorXd& value, VectorXd& slope) const {
        const double span = outer - inner;
        const double x = 2 * (r - inner) / span - 1;
        double factor = 1;
        double factor_slope = 0;
        if (zero_outside) {
            factor = (outer - r) / span;
            factor_slope = -1 / span;
        }
        if (zero_inside) {
            factor_slope = factor_slope * (r - inner) / span + factor / span;
            factor *= (r - inner) / span;
        }
        double p0 = 1, p1 = x, d0 = 0, d1 = 1;
        for (int k = 0; k < count; ++k) {
            const double p = k == 0 ? p0 : p1;
            const double d = k == 0 ? d0 : d1;
            value(k) = p * factor;
            slope(k) = d * 2 / span * factor + p * factor_slope;
            if (k == 0) continue;
            const double p2 = ((2 * k + 1) * x * p1 - k * p0) / (k + 1);
            const double d2 = ((2 * k + 1) * (p1 + x * d1) - k * d0) / (k + 1);
            p0 = p1, p1 = p2, d0 = d1, d1 = d2;
        }
    }
};

ForceModes forceModes(const PlateShape& shape, int count) {
    return {shape.inner_radius_mm, shape.outer_radius_mm, shape.inner_edge == InnerEdge::free,
            shape.outer_edge != OuterEdge::clamped_held, count};
}

/// Fills the membrane tensors; returns L^-1, which turns trial functions into energy-orthonormal ones.
MatrixXd fillMembrane(const Mesh& mesh, const PlateShape& shape, const MatrixXd& splines,
                      PlateTables& tables) {
    const int modes = tables.mode_count;
    const int nodes = tables.node_count;
    const ForceModes trial = forceModes(shape, modes);
    MatrixXd gram = MatrixXd::Zero(modes, modes);
    // Point by point of the integration: the slopes of the splines, and the weighted trial forces.
    std::vector<double> slopes, forces;
    VectorXd s(modes), ds(modes), hoop(modes), phi_slope(nodes);
    integrate(mesh, shape.inner_radius_mm, shape.outer_radius_mm,
              [&](int e, double r, double weight, const HermiteValues& v) {
                  trial.evaluate(r, s, ds);
                  hoop = s + r * ds; // N_t = (r N_r)'
                  gram += weight * (s * s.transpose() + hoop * hoop.transpose() -
                                    shape.poisson_ratio * (s * hoop.transpose() + hoop * s.transpose()));
                  phi_slope.setZero();
                  for (int i = 0; i < 4; ++i) {
                      phi_slope += v.slope[static_cast<std::size_t>(i)] * splines.row(2 * e + i).transpose();
                  }
                  slopes.insert(slopes.end(), phi_slope.begin(), phi_slope.end());
                  s *= weight;
                  forces.insert(forces.end(), s.begin(), s.end());
              });
    const Eigen::LLT<MatrixXd> factor(gram);
    if (factor.info() != Eigen::Success) throw std::logic_error("the membrane modes are not independent");
    MatrixXd inverse = factor.matrixL().solve(MatrixXd::Identity(modes, modes));
    const auto points = static_cast<Eigen::Index>(forces.size()) / modes;
    const Eigen::Map<const MatrixXd> slope(slopes.data(), nodes, points);
    const MatrixXd force = inverse * Eigen::Map<const MatrixXd>(forces.data(), modes, points);
    const auto block = static_cast<std::size_t>(nodes) * static_cast<std::size_t>(nodes);
    tables.membrane.assign(static_cast<std::size_t>(modes) * block, 0.0);
    MatrixXd weighted(nodes, points);
    for (int k = 0; k < modes; ++k) {
        Eigen::Map<MatrixXd> target(tables.membrane.data() + static_cast<std::size_t>(k) * block, nodes,
                                    nodes);
        weighted = slope * force.row(k).asDiagonal();
        target.noalias() = weighted * slope.transpose();
    }
    return inverse;
}

/// Deflection, slope and curvature of the splines and the bubble at the ends and middles of the elements.
void fillFine(const Mesh& mesh, const PlateShape& shape, const Condensed& condensed, const MatrixXd& to_modes,
              PlateTables& tables) {
    const ForceModes trial = forceModes(shape, tables.mode_count);
    VectorXd s(tables.mode_count), ds(tables.mode_count);
    const auto row = [&](std::size_t e, double position) {
        const double r0 = mesh.radii[e];
        const double h = mesh.radii[e + 1] - r0;
        const HermiteValues v = hermiteValues(position, h);
        const double r = r0 + position * h;
        tables.fine_radii_mm.push_back(r);
        const auto push = [&](const std::array<double, 4>& weights, std::vector<double>& of_splines,
                              std::vector<double>& of_bubble) {
            const auto at = static_cast<Eigen::Index>(2 * e);
            const Eigen::Map<const Eigen::Vector4d> w(weights.data());
            const VectorXd values = condensed.splines.middleRows(at, 4).transpose() * w;
            of_splines.insert(of_splines.end(), values.begin(), values.end());
            of_bubble.push_back(condensed.bubble.segment(at, 4).dot(w));
        };
        push(v.value, tables.deflection, tables.pressure_deflection);
        push(v.slope, tables.slope, tables.pressure_slope);
        push(v.curvature, tables.curvature, tables.pressure_curvature);
        trial.evaluate(r, s, ds);
        const VectorXd force = to_modes * s;
        tables.membrane_force.insert(tables.membrane_force.end(), force.begin(), force.end());
        // u = r (N_t - nu N_r) / (E S1) with N_t = (r N_r)'
        const VectorXd hoop = to_modes * (s + r * ds);
        for (Eigen::Index k = 0; k < hoop.size(); ++k)
            tables.membrane_displacement.push_back(r * (hoop(k) - shape.poisson_ratio * force(k)));
    };
    for (std::size_t e = 0; e + 1 < mesh.radii.size(); ++e) {
        row(e, 0.0);
        row(e, 0.5);
    }
    row(mesh.radii.size() - 2, 1.0);
}

} // namespace

PlateTables::PlateTables(const PlateShape& shape, const GridOptions& options)
    : node_count(static_cast<int>(shape.node_radii_mm.size())), mode_count(options.membrane_modes) {
    const Mesh mesh = makeMesh(shape, options.subdivisions);
    const MatrixXd bending = bendingStiffness(mesh, shape);
    const VectorXd load = pressureIntegral(mesh, shape, &HermiteValues::value);
    const Condensed condensed = condense(mesh, shape, bending, load);
    const MatrixXd reduced = condensed.splines.transpose() * bending * condensed.splines;
    const MatrixXd symmetric = 0.5 * (reduced + reduced.transpose());
    stiffness.assign(symmetric.data(), symmetric.data() + symmetric.size());
    const VectorXd nodal = condensed.splines.transpose() * load;
    pressure_load.assign(nodal.begin(), nodal.end());
    pressure_volume = condensed.bubble.dot(load);
    const VectorXd slopes = pressureIntegral(mesh, shape, &HermiteValues::slope);
    const VectorXd nodal_slopes = condensed.splines.transpose() * slopes;
    slope_integral.assign(nodal_slopes.begin(), nodal_slopes.end());
    pressure_slope_integral = condensed.bubble.dot(slopes);
    for (const int node : mesh.node_of_contact) fine_of_node.push_back(2 * static_cast<std::size_t>(node));
    const MatrixXd to_modes = fillMembrane(mesh, shape, condensed.splines, *this);
    fillFine(mesh, shape, condensed, to_modes, *this);
}

std::vector<double> PlateTables::membraneAmplitudes(const double* w) const {
    const auto nodes = static_cast<std::size_t>(node_count);
    std::vector<double> amplitudes(static_cast<std::size_t>(mode_count), 0.0);
    for (std::size_t k = 0; k < amplitudes.size(); ++k) {
        const double* tensor = membrane.data() + k * nodes * nodes;
        for (std::size_t i = 0; i < nodes; ++i) {
            for (std::size_t j = 0; j < nodes; ++j)
                amplitudes[k] += 0.5 * w[i] * tensor[i * nodes + j] * w[j];
        }
    }
    return amplitudes;
}

double PlateTables::radialForce(const std::vector<double>& amplitudes, std::size_t fine) const {
    double force = 0;
    for (std::size_t k = 0; k < amplitudes.size(); ++k) {
        force += membrane_force[fine * amplitudes.size() + k] * amplitudes[k];
    }
    return force;
}

} // namespace shimledger::planner
