// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "planner/mechanics/disc_friction.h"
#include "planner/mechanics/stack_lift.h"
#include "planner/stack/stack_text.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <string>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;

namespace {

Length mm(double value) {
    return Length::fromMillimetres(value);
}

struct Loop {
    std::string name;
    StackSpec stack;
    double coefficient = 0;
    std::vector<double> pressures_mpa;
    std::vector<double> half_width; ///< part of the lift; of the last, from the way up alone
};

std::vector<Loop> finiteElementLoops() {
    std::ifstream file(SHIMLEDGER_TEST_DATA "/friction_fe.json");
    std::vector<Loop> loops;
    for (const auto& entry : nlohmann::json::parse(file)) {
        ValveGeometry valve;
        valve.clamp_od = mm(2 * entry["r_c_mm"].get<double>());
        valve.port_inner_diameter = mm(2 * entry["port_radii_mm"][0].get<double>());
        valve.port_outer_diameter = mm(2 * entry["port_radii_mm"][1].get<double>());
        valve.shim_id = mm(6);
        std::vector<DiscRow> rows;
        for (const auto& disc : entry["discs"]) {
            rows.push_back({disc["count"].get<int>(),
                            mm(disc["od_mm"].get<double>()),
                            mm(disc["thickness_mm"].get<double>()),
                            {},
                            {}});
        }
        const auto lift = [](const nlohmann::json& run, bool up, std::size_t i) {
            return run[up ? "lift_loading_mm" : "lift_unloading_mm"][i].get<double>();
        };
        const auto half = [&](const nlohmann::json& run, std::size_t i) {
            const double up = lift(run, true, i), down = lift(run, false, i);
            return (down - up) / (down + up);
        };
        const auto& smooth = entry["runs"][0];
        REQUIRE(smooth["mu"] == 0.0);
        for (const auto& run : entry["runs"]) {
            if (run["mu"] == 0.0) continue;
            Loop loop{entry["name"], StackSpec(valve, rows), run["mu"], run["pressure_mpa"], {}};
            for (std::size_t i = 0; i < 3; ++i) loop.half_width.push_back(half(run, i) - half(smooth, i));
            loop.half_width.push_back(1 - lift(run, true, 3) / lift(smooth, true, 3));
            loops.push_back(loop);
        }
    }
    return loops;
}

/// w and w' of one disc of rigidity 1 under a pressure of 1 on the port, from the plate equation
/// D (r w')'/r)' = Q of one clamped disc with a free edge, by fine steps.
struct PlateUnderPort {
    std::vector<double> radii_mm, slope, deflection;

    PlateUnderPort(double clamp, double edge, double port_in, double port_out, double nu) {
        constexpr int steps = 20000;
        const double h = (edge - clamp) / steps;
        const auto shear = [&](double r) { // of what pushes beyond r
            const double inner = std::clamp(r, port_in, port_out);
            return -(port_out * port_out - inner * inner) / (2 * r);
        };
        // (r w')' / r = m: m' = Q, and m at the clamp such that the edge is free of moment.
        const auto solve = [&](double start) {
            radii_mm.assign(1, clamp), slope.assign(1, 0), deflection.assign(1, 0);
            double m = start, turned = 0; // r w'
            for (int i = 0; i < steps; ++i) {
                const double r = clamp + h * i, middle = r + h / 2;
                const double m_middle = m + h / 2 * shear(r + h / 4);
                turned += h * m_middle * middle;
                m += h * shear(middle);
                radii_mm.push_back(r + h);
                slope.push_back(turned / (r + h));
                deflection.push_back(deflection.back() + h * (slope[slope.size() - 2] + slope.back()) / 2);
            }
            const double curvature = m - slope.back() / edge;
            return curvature + nu * slope.back() / edge;
        };
        const double at_zero = solve(0), at_one = solve(1);
        solve(-at_zero / (at_one - at_zero));
    }

    /// Integral of w' r dr over that of w r dr, both over the port.
    [[nodiscard]] double slopeOverDeflection(double port_in, double port_out) const {
        double of_slope = 0, of_deflection = 0;
        for (std::size_t i = 0; i < radii_mm.size(); ++i) {
            if (radii_mm[i] < port_in || radii_mm[i] > port_out) continue;
            of_slope += slope[i] * radii_mm[i];
            of_deflection += deflection[i] * radii_mm[i];
        }
        return of_slope / of_deflection;
    }
};

} // namespace

// CalculiX runs, see data/README.md.
TEST_CASE("the loop of friction is as wide as finite elements say: within 6 % on six alike and on a taper",
          "[friction]") {
    const std::vector<Loop> loops = finiteElementLoops();
    REQUIRE(loops.size() == 6);
    for (const Loop& loop : loops) {
        const StackReport report =
            StackLift(loop.stack).atPressures(loop.pressures_mpa, Regime::large, loop.coefficient);
        REQUIRE(report.converged);
        for (std::size_t i = 0; i < loop.pressures_mpa.size(); ++i) {
            const LiftPoint& point = report.curve.points()[i];
            INFO(loop.name << ", coefficient " << loop.coefficient << ", " << point.pressure_mpa << " MPa");
            // The half-loop of two discs is 0.3 % of the lift, of which the run without friction makes 0.08
            // %.
            CHECK(point.friction_half_width_mm / point.lift_mm ==
                  Approx(loop.half_width[i]).epsilon(loop.name == "pair" ? 0.20 : 0.06));
        }
    }
}

TEST_CASE("discs that are alike rub as the closed form says", "[friction]") {
    const double port_in = 6.5, port_out = GENERATE(8.0, 10.0, 11.5);
    const int count = GENERATE(2, 6, 16);
    const PlateUnderPort plate(5, 12, port_in, port_out, 0.3);
    const double thickness = 0.1, coefficient = 0.12;
    const StackSpec stack({mm(10), mm(2 * port_in), mm(2 * port_out), mm(6), {}, {}},
                          {{count, mm(24), mm(thickness), {}, {}}});
    const StackReport report =
        StackLift(stack).atPressures(std::vector<double>{1e-5}, Regime::small, coefficient);
    const LiftPoint& point = report.curve.points().front();
    CHECK(point.friction_pressure_mpa / point.pressure_mpa ==
          Approx(coefficient * thickness * (count - 1) / 2 * plate.slopeOverDeflection(port_in, port_out))
              .epsilon(1e-3));
}

TEST_CASE("one disc alone has no friction, nor has a stack without a coefficient", "[friction]") {
    const ValveGeometry valve{mm(10), mm(13), mm(20), mm(6), {}, {}};
    const Regime regime = GENERATE(Regime::small, Regime::large);
    StackLift alone(StackSpec(valve, parseStackText("24 x 0.15, 10 x 0.30")));
    const StackReport rubbing = alone.overLift(0.3, regime, 5, 0.12);
    for (const LiftPoint& point : rubbing.curve.points()) {
        CHECK(point.friction_half_width_mm == 0);
        CHECK(point.friction_pressure_mpa == 0);
    }
    StackLift many(StackSpec(valve, parseStackText("6 x 24 x 0.10, 20 x 0.20")));
    const StackReport smooth = many.overLift(0.3, regime, 5);
    for (const LiftPoint& point : smooth.curve.points()) CHECK(point.friction_half_width_mm == 0);
}

TEST_CASE("the loop grows with the coefficient and with the number of discs that share one stiffness",
          "[friction]") {
    const ValveGeometry valve{mm(10), mm(13), mm(20), mm(6), {}, {}};
    const auto half = [&](const std::string& text, double coefficient) {
        StackLift lift(StackSpec(valve, parseStackText(text)));
        const LiftPoint point = lift.overLift(0.15, Regime::large, 3, coefficient).curve.points().back();
        return point.friction_half_width_mm / point.lift_mm;
    };
    const std::string taper = ", 22 x 0.15, 19 x 0.15, 16 x 0.15, 12 x 0.20";
    const double thick = half("2 x 24 x 0.20" + taper, 0.12);
    CHECK(half("2 x 24 x 0.20" + taper, 0.24) == Approx(2 * thick));
    // Equal cube sum; finite elements on such a pair of stacks: 2.0 and 6.2 %.
    CHECK(half("16 x 24 x 0.10" + taper, 0.12) > 2 * thick);
}

TEST_CASE("what a disc passes on to the next decides how they rub, not how the rows are written",
          "[friction]") {
    const ValveGeometry valve{mm(10), mm(13), mm(20), mm(6), {}, {}};
    const auto half = [&](const std::string& text) {
        StackLift lift(StackSpec(valve, parseStackText(text)));
        return lift.overLift(0.1, Regime::large, 2, 0.12).curve.points().back().friction_half_width_mm;
    };
    // One row of four or two of two are the same discs.
    CHECK(half("4 x 24 x 0.10, 20 x 0.15") == Approx(half("2 x 24 x 0.10, 2 x 24 x 0.10, 20 x 0.15")));
    // The more a disc carries, the less goes on to the next: a thick disc on the face passes less on.
    CHECK(half("24 x 0.30, 24 x 0.10, 24 x 0.10") < half("24 x 0.10, 24 x 0.10, 24 x 0.30"));
}
