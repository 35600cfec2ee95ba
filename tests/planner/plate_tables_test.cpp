// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "tests/planner/plate_solution.h"
#include "tests/planner/reference_csv.h"

#include <numbers>
#include <string>

using namespace shimledger::planner;

namespace {

double number(const std::string& text) {
    return std::stod(text);
}

/// Value behind "a/b=" or "b/a=" as the ratio inner to outer radius.
double radiusRatio(const std::string& parameter) {
    const double value = number(parameter.substr(4));
    return parameter.starts_with("a/b") ? 1 / value : value;
}

/// Moments come from second derivatives, which lose two powers of the step.
double largestMomentError(const GridOptions& grid) {
    return grid.largest_step_mm < 0.5 ? 1e-3 : 1e-2;
}

} // namespace

// Roark's Formulas, table 11.2 case 1l and 2l.
TEST_CASE("a lone annulus meets Roark's closed form to 1e-4 on the default grid and 1e-6 on the fine one",
          "[plate]") {
    const auto [grid, tolerance] =
        GENERATE(std::pair(GridOptions{}, 1e-4), std::pair(GridOptions::fineGrid(), 1e-6));
    const auto rows = referenceRows("plate_closed_form.csv");
    REQUIRE(rows.size() == 16);
    for (const auto& row : rows) {
        INFO(row.at("id") << ", step " << grid.largest_step_mm);
        const double nu = number(row.at("nu")), t = number(row.at("t_mm"));
        const double outer = number(row.at("a_outer_radius_mm")), inner = number(row.at("b_inner_radius_mm"));
        const double rigidity = number(row.at("E_MPa")) * t * t * t / (12 * (1 - nu * nu));
        const double load = number(row.at("load_value")), r1 = number(row.at("r1_mm"));
        const bool line = row.at("load").starts_with("line");
        PlateShape shape{
            .inner_radius_mm = inner, .outer_radius_mm = outer, .poisson_ratio = nu, .node_radii_mm = {}};
        shape.node_radii_mm = evenNodes(inner, outer, grid.largest_step_mm, line ? r1 : -1);
        shape.node_radii_mm.erase(shape.node_radii_mm.begin()); // the clamp is no node
        std::vector<double> forces(shape.node_radii_mm.size(), 0.0);
        if (line) {
            for (std::size_t i = 0; i < forces.size(); ++i) {
                if (std::abs(shape.node_radii_mm[i] - r1) < 1e-9)
                    forces[i] = load * 2 * std::numbers::pi * r1;
            }
        } else {
            shape.pressure_inner_radius_mm = r1;
            shape.pressure_outer_radius_mm = number(row.at("r2_mm"));
        }
        const PlateSolution solution = solvePlate(shape, grid, rigidity, line ? 0 : load, forces);
        const std::size_t last = solution.tables.fine_radii_mm.size() - 1;
        CHECK(solution.nodes.back() == Approx(number(row.at("w_outer_mm"))).epsilon(tolerance));
        CHECK(solution.slope(last) == Approx(number(row.at("slope_outer_rad"))).epsilon(tolerance));
        CHECK(solution.radialMoment(0, nu) ==
              Approx(number(row.at("Mr_inner_N"))).epsilon(largestMomentError(grid)));
    }
}

// Timoshenko & Woinowsky-Krieger, table 3 after Wahl & Lobo, and Roark table 11.2: the computed column.
TEST_CASE("annuli with held, guided and free edges meet the handbook coefficients", "[plate]") {
    int covered = 0;
    for (const auto& row : referenceRows("plate_coefficients.csv")) {
        const bool hole_plate = row.at("group") == "hole plate" && row.at("quantity") == "k1 (deflection)";
        const bool roark = row.at("group") == "Roark uniform q" && row.at("quantity").starts_with("Ky");
        if (!hole_plate && !roark) continue;
        if (row.at("outer_edge") == "guided")
            continue; // W10: no stack has such an edge, so the tables have none
        INFO(row.at("case_id") << " " << row.at("parameter"));
        const double nu = 0.3, outer = 10, inner = outer * radiusRatio(row.at("parameter"));
        const std::string inside = row.at("inner_edge"), outside = row.at("outer_edge");
        PlateShape shape{
            .inner_radius_mm = inner, .outer_radius_mm = outer, .poisson_ratio = nu, .node_radii_mm = {}};
        // A guided edge keeps its slope, as the centre of a solid disc does.
        shape.inner_edge = inside == "fix"      ? InnerEdge::clamped
                           : inside == "guided" ? InnerEdge::centre
                                                : InnerEdge::free;
        shape.outer_edge = outside == "fix" ? OuterEdge::clamped_held : OuterEdge::free;
        shape.node_radii_mm = evenNodes(inner, outer, (outer - inner) / 10);
        if (inside == "fix") shape.node_radii_mm.erase(shape.node_radii_mm.begin());
        if (outside == "fix") shape.node_radii_mm.pop_back();
        std::set<std::size_t> held;
        if (inside == "ss") held.insert(0);
        if (outside == "ss") held.insert(shape.node_radii_mm.size() - 1);
        std::vector<double> forces(shape.node_radii_mm.size(), 0.0);
        double pressure = 0;
        if (row.at("load") == "uniform q") {
            pressure = 1;
            shape.pressure_inner_radius_mm = inner;
            shape.pressure_outer_radius_mm = outer;
        } else {
            (row.at("load") == "line at inner edge" ? forces.front() : forces.back()) = 1; // P = 1 in all
        }
        const double rigidity = hole_plate ? 1 / (12 * (1 - nu * nu)) : 1; // E t^3 = 1, or D = 1
        const PlateSolution solution = solvePlate(shape, GridOptions{}, rigidity, pressure, forces, held);
        const double scale = pressure > 0 ? std::pow(outer, 4) : outer * outer;
        // Looked for at the ends and middles of elements alone, of which the default grid has few.
        CHECK(solution.greatestDeflection() / scale == Approx(number(row.at("computed"))).epsilon(1e-3));
        ++covered;
    }
    CHECK(covered >= 54 + 20);
}

// Von Karman plates by Chebyshev collocation (see data/README.md).
TEST_CASE("solid discs in large deflection meet the collocation solution within 0.5 %", "[plate]") {
    int covered = 0;
    for (const auto& row : referenceRows("plate_coefficients.csv")) {
        if (row.at("group") != "large deflection" || row.at("quantity") != "w0/h") continue;
        INFO(row.at("inner_edge") << row.at("outer_edge") << " " << row.at("parameter"));
        const bool sliding = (row.at("outer_edge") + row.at("inner_edge")).find("slide") != std::string::npos;
        const double nu = 0.3, outer = 10, t = 1, modulus = 1e5;
        const double pressure = number(row.at("parameter").substr(row.at("parameter").find('=') + 1)) *
                                modulus / std::pow(outer, 4);
        PlateShape shape{.inner_radius_mm = 0,
                         .outer_radius_mm = outer,
                         .inner_edge = InnerEdge::centre,
                         .outer_edge = sliding ? OuterEdge::clamped_sliding : OuterEdge::clamped_held,
                         .poisson_ratio = nu,
                         .pressure_inner_radius_mm = 0,
                         .pressure_outer_radius_mm = outer,
                         .node_radii_mm = evenNodes(0, outer, 1.0)};
        shape.node_radii_mm.pop_back();
        const PlateTables tables(shape, GridOptions{});
        const std::size_t n = shape.node_radii_mm.size();
        const double rigidity = modulus * t * t * t / (12 * (1 - nu * nu));
        std::vector<double> w(n, 0.0);
        for (int round = 0; round < 60; ++round) {
            std::vector<std::vector<double>> tangent(n, std::vector<double>(n));
            std::vector<double> right(n);
            for (std::size_t i = 0; i < n; ++i) {
                right[i] = pressure * tables.pressure_load[i];
                for (std::size_t j = 0; j < n; ++j) {
                    tangent[i][j] = rigidity * tables.stiffness[i * n + j];
                    right[i] -= tangent[i][j] * w[j];
                }
            }
            for (int k = 0; k < tables.mode_count; ++k) {
                const double* tensor = tables.membrane.data() + static_cast<std::size_t>(k) * n * n;
                std::vector<double> y(n, 0.0);
                double a = 0;
                for (std::size_t i = 0; i < n; ++i) {
                    for (std::size_t j = 0; j < n; ++j) y[i] += tensor[i * n + j] * w[j];
                    a += 0.5 * w[i] * y[i];
                }
                for (std::size_t i = 0; i < n; ++i) {
                    right[i] -= modulus * t * a * y[i];
                    for (std::size_t j = 0; j < n; ++j) {
                        tangent[i][j] += modulus * t * (y[i] * y[j] + a * tensor[i * n + j]);
                    }
                }
            }
            const std::vector<double> step = solved(tangent, right);
            for (std::size_t i = 0; i < n; ++i) w[i] += step[i];
        }
        CHECK(w.front() / t == Approx(number(row.at("computed"))).epsilon(5e-3));
        ++covered;
    }
    CHECK(covered == 24);
}
