// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/plate_tables.h"

#include <algorithm>
#include <cmath>
#include <set>
#include <vector>

/// A single plate solved from its tables, for comparison with closed forms.
struct PlateSolution {
    shimledger::planner::PlateTables tables;
    std::vector<double> nodes; ///< deflections
    double pressure = 0, rigidity = 1;

    [[nodiscard]] double fine(const std::vector<double>& splines, const std::vector<double>& bubble,
                              std::size_t i) const {
        double sum = pressure / rigidity * bubble[i];
        for (std::size_t j = 0; j < nodes.size(); ++j) sum += splines[i * nodes.size() + j] * nodes[j];
        return sum;
    }
    [[nodiscard]] double deflection(std::size_t i) const {
        return fine(tables.deflection, tables.pressure_deflection, i);
    }
    [[nodiscard]] double slope(std::size_t i) const { return fine(tables.slope, tables.pressure_slope, i); }
    [[nodiscard]] double curvature(std::size_t i) const {
        return fine(tables.curvature, tables.pressure_curvature, i);
    }
    /// Radial moment per length, positive where it bends the plate the way pressure does at a clamp's far
    /// side.
    [[nodiscard]] double radialMoment(std::size_t i, double nu) const {
        return -rigidity * (curvature(i) + nu * slope(i) / tables.fine_radii_mm[i]);
    }
    [[nodiscard]] double greatestDeflection() const {
        double most = 0;
        for (std::size_t i = 0; i < tables.fine_radii_mm.size(); ++i)
            most = std::max(most, std::abs(deflection(i)));
        return most;
    }
};

/// Gaussian elimination with pivoting, for a dozen unknowns.
inline std::vector<double> solved(std::vector<std::vector<double>> a, std::vector<double> b) {
    const std::size_t n = b.size();
    for (std::size_t k = 0; k < n; ++k) {
        std::size_t pivot = k;
        for (std::size_t i = k + 1; i < n; ++i) {
            if (std::abs(a[i][k]) > std::abs(a[pivot][k])) pivot = i;
        }
        std::swap(a[k], a[pivot]);
        std::swap(b[k], b[pivot]);
        for (std::size_t i = k + 1; i < n; ++i) {
            const double factor = a[i][k] / a[k][k];
            for (std::size_t j = k; j < n; ++j) a[i][j] -= factor * a[k][j];
            b[i] -= factor * b[k];
        }
    }
    for (std::size_t k = n; k-- > 0;) {
        for (std::size_t j = k + 1; j < n; ++j) b[k] -= a[k][j] * b[j];
        b[k] /= a[k][k];
    }
    return b;
}

/// Small-deflection solution under pressure on the shape's ports and nodal forces; `held` nodes stay at 0.
inline PlateSolution solvePlate(const shimledger::planner::PlateShape& shape,
                                const shimledger::planner::GridOptions& grid, double rigidity,
                                double pressure, const std::vector<double>& forces,
                                const std::set<std::size_t>& held = {}) {
    PlateSolution solution{shimledger::planner::PlateTables(shape, grid), {}, pressure, rigidity};
    const std::size_t n = shape.node_radii_mm.size();
    std::vector<std::vector<double>> a(n, std::vector<double>(n));
    std::vector<double> b(n);
    for (std::size_t i = 0; i < n; ++i) {
        b[i] = pressure * solution.tables.pressure_load[i] + forces[i];
        for (std::size_t j = 0; j < n; ++j) a[i][j] = rigidity * solution.tables.stiffness[i * n + j];
        if (!held.contains(i)) continue;
        for (std::size_t j = 0; j < n; ++j) a[i][j] = i == j ? 1 : 0;
        b[i] = 0;
    }
    solution.nodes = solved(a, b);
    return solution;
}

/// Nodes at most `step` apart over [from, to], both ends included, with `extra` among them.
inline std::vector<double> evenNodes(double from, double to, double step, double extra = -1) {
    std::vector<double> ends{from};
    if (extra > from + 1e-9 && extra < to - 1e-9) ends.push_back(extra);
    ends.push_back(to);
    std::vector<double> nodes{from};
    for (std::size_t i = 1; i < ends.size(); ++i) {
        const int parts = std::max(1, static_cast<int>(std::ceil((ends[i] - ends[i - 1]) / step - 1e-9)));
        for (int part = 1; part < parts; ++part)
            nodes.push_back(ends[i - 1] + (ends[i] - ends[i - 1]) * part / parts);
        nodes.push_back(ends[i]);
    }
    return nodes;
}
