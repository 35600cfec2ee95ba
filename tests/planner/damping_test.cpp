// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/damping/damping_valve.h"
#include "planner/damping/stack_opening.h"
#include "planner/mechanics/stack_lift.h"
#include "planner/mechanics/warp_branch.h"
#include "planner/stack/stack_text.h"
#include "tests/planner/random_stacks.h"
#include "tests/planner/usual_valve.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <numbers>
#include <random>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;

namespace {

constexpr double pi = std::numbers::pi;

const Oil usual_oil{850, 15, 3.5};
const Oil thin_oil{850, 0.51, 0.5}; // turbulent throughout

ValveFlow usualFlow() {
    ValveFlow flow;
    flow.swept_area_mm2 = flow.force_area_mm2 = 300;
    flow.port_area_mm2 = 60;
    flow.oil = usual_oil;
    return flow;
}

/// A stack whose gap is in proportion to pressure.
OpeningCurve linearOpening(double radius_mm, double gap_per_mpa, double greatest_mpa) {
    std::vector<OpeningKnot> knots;
    for (int i = 1; i <= 20; ++i) {
        const double pressure = greatest_mpa * i * i / 400;
        knots.push_back({pressure,
                         {gap_per_mpa * pressure, 1.4 * gap_per_mpa * pressure},
                         {gap_per_mpa, 1.4 * gap_per_mpa}});
    }
    return {radius_mm, knots};
}

double densityAt(double density_15c, double celsius) {
    return density_15c * (1 - 0.00075 * (celsius - 15));
}

/// The flow of a valve in SI units at a pressure and a gap, without the code under test.
struct SiFlow {
    double flow_m3_s, drop_pa, bleed_m3_s;
};

SiFlow siFlow(const ValveFlow& flow, double radius_mm, double beneath_mpa, double gap_mm,
              double viscosity_mm2_s) {
    const double rho = densityAt(flow.oil.density_15c_kg_m3, flow.temperature_c), nu = viscosity_mm2_s * 1e-6;
    const auto through = [&](double area, double diameter, double discharge, double drop) {
        const double jet = std::sqrt(2 * drop / rho);
        const double x = 2 * (diameter * jet / nu) / 1000;
        return discharge * (std::exp(x) - std::exp(-x)) / (std::exp(x) + std::exp(-x)) * area * jet;
    };
    const double p = beneath_mpa * 1e6, w = gap_mm * 1e-3, d = flow.bleed_diameter_mm * 1e-3;
    const double curtain =
        through(flow.open_share * 2 * pi * radius_mm * 1e-3 * w, 2 * w, flow.curtain_discharge, p);
    const double port_jet = curtain / (flow.port_discharge * flow.port_area_mm2 * 1e-6);
    const double drop = p + rho / 2 * port_jet * port_jet;
    const double bleed = d > 0 ? through(pi * d * d / 4, d, flow.bleed_discharge, drop) : 0;
    return {curtain + bleed, drop, bleed};
}

} // namespace

TEST_CASE("a linear stack without bleed and port loss gives force as speed to the power 2/3, turbulent",
          "[damping]") {
    ValveFlow flow = usualFlow();
    flow.oil = thin_oil;
    flow.port_area_mm2 = 1e9;
    flow.open_share = 0.8;
    const double radius = 10, gap_per_mpa = 0.3;
    const DampingValve valve(flow, linearOpening(radius, gap_per_mpa, 4));
    const double rho = densityAt(850, 40);
    for (const double speed : {1.0, 2.0, 4.0, 7.9}) {
        const auto point = valve.atSpeed(speed);
        REQUIRE(point.has_value());
        // Q = C share 2 pi r k p sqrt(2 p / rho), solved for p.
        const double per_p32 = 0.7 * 0.8 * 2 * pi * radius * 1e-3 * gap_per_mpa * 1e-9 *
                               std::sqrt(2 / rho); // SI: m3/s per Pa^1.5
        const double pascal = std::pow(speed * 300e-6 / per_p32, 2.0 / 3);
        CHECK(point->drop_mpa == Approx(pascal / 1e6).epsilon(1e-6));
        CHECK(point->force_n == Approx(pascal * 300e-6).epsilon(1e-6));
        CHECK(point->stack_share == Approx(2.0 / 3).epsilon(1e-4)); // force as stiffness to the power 2/3
        CHECK(point->bleed_share == 0);
    }
}

TEST_CASE("a bleed alone gives force as speed squared at large flow numbers and in proportion at small ones",
          "[damping]") {
    ValveFlow flow = usualFlow();
    flow.oil = thin_oil;
    flow.bleed_diameter_mm = 2.5;
    const OpeningCurve shut = linearOpening(10, 1e-12, 400);
    const double rho = densityAt(850, 40);
    const DampingValve thin(flow, shut);
    for (const double speed : {0.2, 0.4, 0.8}) {
        const double jet = speed * 300 / (0.7 * pi / 4 * 2.5 * 2.5);
        const auto point = thin.atSpeed(speed);
        REQUIRE(point.has_value());
        CHECK(point->force_n == Approx(rho * jet * jet / 2 * 300e-6).epsilon(1e-6));
        CHECK(point->bleed_share == Approx(1).epsilon(1e-6));
        CHECK(std::abs(point->stack_share) < 1e-6); // the stack does not matter
    }
    flow.oil = {850, 4999, 4000}; // as thick as honey
    flow.bleed_diameter_mm = 0.5;
    const DampingValve thick(flow, shut);
    // C = C_inf 2 lambda / 1000, so Q = C_inf 2/1000 D/nu A 2 dp / rho.
    const double nu = 4999e-6, d = 0.5e-3;
    for (const double speed : {1e-6, 2e-6}) {
        const auto point = thick.atSpeed(speed);
        REQUIRE(point.has_value());
        const double pascal = speed * 300e-6 / (0.7 * 2 / 1000 * d / nu * pi / 4 * d * d * 2 / rho);
        CHECK(point->drop_mpa == Approx(pascal / 1e6).epsilon(1e-6));
    }
}

TEST_CASE("ports alone give force as speed squared", "[damping]") {
    ValveFlow flow = usualFlow();
    flow.oil = thin_oil;
    flow.port_area_mm2 = 2;
    const OpeningCurve gaping = linearOpening(10, 1e8, 1e-4);
    const double rho = densityAt(850, 40);
    for (const double speed : {0.5, 1.0, 2.0}) {
        const auto point = DampingValve(flow, gaping).atSpeed(speed);
        REQUIRE(point.has_value());
        const double jet = speed * 300 / (0.7 * 2);
        CHECK(point->force_n == Approx(rho * jet * jet / 2 * 300e-6).epsilon(1e-6));
        CHECK(point->port_share == Approx(1).epsilon(1e-6));
        CHECK(std::abs(point->stack_share) < 1e-6);
    }
}

TEST_CASE("the stack's share is what a stiffer stack does to the force", "[damping]") {
    const StackSpec stack =
        test::inUsualValve("4 x 24 x 0.10, 1 x 14 x 0.10, 1 x 22 x 0.15, 1 x 18 x 0.15, 1 x 14 x 0.2");
    ValveFlow flow = usualFlow();
    flow.bleed_diameter_mm = 1.2;
    const StackOpening opening = openingOverFlow(stack, std::vector{flow}, 0.9);
    REQUIRE(opening.complete);
    std::vector<OpeningKnot> stiffer(opening.curve->knots().begin() + 1, opening.curve->knots().end());
    constexpr double part = 1.001;
    for (OpeningKnot& knot : stiffer) {
        knot.pressure_mpa *= part;
        knot.slope.gap_mm /= part;
        knot.slope.lift_mm /= part;
    }
    const DampingValve valve(flow, *opening.curve), stiff(flow, {10, stiffer});
    for (const double speed : {0.02, 0.05, 0.1, 0.3, 0.8}) {
        const auto a = valve.atSpeed(speed), b = stiff.atSpeed(speed);
        REQUIRE(a.has_value());
        REQUIRE(b.has_value());
        CHECK(std::log(b->force_n / a->force_n) / std::log(part) == Approx(a->stack_share).epsilon(0.01));
        CHECK(a->stack_share > 0);
        CHECK(a->stack_share < 1);
    }
}

TEST_CASE("the speed of a drop is where the curve has that drop", "[damping]") {
    ValveFlow flow = usualFlow();
    flow.bleed_diameter_mm = 1.5;
    const DampingValve valve(flow, linearOpening(10, 0.2, 2));
    for (const double speed : {0.03, 0.3, 1.0}) {
        const auto point = valve.atSpeed(speed);
        REQUIRE(point.has_value());
        CHECK(valve.speedAtDrop(point->drop_mpa).value() == Approx(speed).epsilon(1e-9));
    }
    CHECK_FALSE(valve.speedAtDrop(1000).has_value());
    CHECK_FALSE(valve.atSpeed(1000).has_value());
    CHECK(valve.atSpeed(valve.greatestSpeed() * (1 - 1e-9)).has_value());
}

TEST_CASE(
    "random stacks in random valves: what an evaluator from lift to flow finds, and forces rise with speed",
    "[damping]") {
    std::mt19937 random(20261129);
    const auto between = [&](double least, double greatest) {
        return std::uniform_real_distribution(least, greatest)(random);
    };
    int compared = 0;
    for (int i = 0; i < 25; ++i) {
        const StackSpec stack = test::randomStack(random, {.gaps = i % 2 == 0, .seat = false});
        INFO(stackText(stack.rows(), ", "));
        ValveFlow flow = usualFlow();
        flow.swept_area_mm2 = between(80, 900);
        flow.force_area_mm2 = between(80, 900);
        flow.port_area_mm2 = between(15, 100);
        flow.open_share = between(0.4, 1);
        flow.curtain_discharge = between(0.5, 0.9);
        flow.port_discharge = between(0.5, 0.9);
        flow.bleed_diameter_mm = i % 3 == 0 ? 0 : between(0.3, 3);
        flow.temperature_c = between(-10, 100);
        const double speed = between(0.05, 0.6);
        const StackOpening opening = openingOverFlow(stack, std::vector{flow}, speed);
        if (!opening.curve || opening.onset) continue; // lobed shapes have a test of their own
        const double radius = stack.valve().port_outer_diameter.millimetres() / 2;
        const double viscosity = oilAt(flow.oil, flow.temperature_c).viscosity_mm2_s;
        const DampingValve valve(flow, *opening.curve);
        double last_force = 0;
        for (const double part : {0.1, 0.35, 0.7, 0.97}) {
            const double lift = part * opening.curve->at(opening.curve->greatestPressure()).lift_mm;
            StackLift engine(stack);
            const StackReport report = engine.overLift(lift, Regime::large, 4);
            const auto shapes = engine.shapesAt(lift, Regime::large);
            REQUIRE(report.converged);
            REQUIRE(shapes.has_value());
            const DiscShape& face = shapes->front();
            const auto upper = std::lower_bound(face.radii_mm.begin(), face.radii_mm.end(), radius);
            const auto k = static_cast<std::size_t>(upper - face.radii_mm.begin());
            const double along = (radius - face.radii_mm[k - 1]) / (face.radii_mm[k] - face.radii_mm[k - 1]);
            const double gap =
                face.deflection_mm[k - 1] + along * (face.deflection_mm[k] - face.deflection_mm[k - 1]);
            const double beneath = report.curve.points().back().pressure_mpa;
            const SiFlow expected = siFlow(flow, radius, beneath, gap, viscosity);
            const auto point = valve.atSpeed(expected.flow_m3_s / (flow.swept_area_mm2 * 1e-6));
            if (!point) continue; // just past the last knot
            CHECK(point->drop_mpa == Approx(expected.drop_pa / 1e6).epsilon(3e-3));
            CHECK(point->force_n == Approx(expected.drop_pa * flow.force_area_mm2 * 1e-6).epsilon(3e-3));
            CHECK(point->opening.lift_mm == Approx(lift).epsilon(3e-3));
            CHECK(point->bleed_share == Approx(expected.bleed_m3_s / expected.flow_m3_s).margin(3e-3));
            CHECK(point->force_n > last_force);
            last_force = point->force_n;
            ++compared;
        }
    }
    CHECK(compared > 50);
}

TEST_CASE("past the onset of warping the opening is the warped branch's", "[damping]") {
    const StackSpec lone = test::inUsualValve("24 x 0.15");
    ValveFlow flow = usualFlow();
    const StackOpening opening = openingOverFlow(lone, std::vector{flow}, 1.5);
    REQUIRE(opening.complete);
    REQUIRE(opening.onset.has_value());
    const double onset = opening.onset->pressure_mpa;
    REQUIRE(opening.curve->greatestPressure() > 1.3 * onset);
    std::vector<double> pressures;
    for (const double part : {0.3, 0.7, 1.1, 1.25}) pressures.push_back(part * onset);
    const WarpCurve curve = warpedLifts(lone, pressures);
    REQUIRE(curve.converged);
    for (std::size_t i = 0; i < pressures.size(); ++i) {
        const Opening open = opening.curve->at(pressures[i]);
        CHECK(open.lift_mm == Approx(curve.points[i].mean_lift_mm).epsilon(0.004));
        CHECK(open.gap_mm < open.lift_mm);
    }
    // Softer than if it stayed round.
    StackLift engine(lone);
    const StackReport round = engine.atPressures(pressures, Regime::large);
    CHECK(opening.curve->at(pressures.back()).lift_mm > 1.02 * round.curve.points().back().lift_mm);
}

TEST_CASE("where the port reaches the rim the gap is the lift, round and warped", "[damping]") {
    const auto mm = Length::fromMillimetres;
    const StackSpec lone({mm(10), mm(13), mm(23.99), mm(6), {}, {}}, parseStackText("24 x 0.15"));
    const StackOpening opening = openingOverFlow(lone, std::vector{usualFlow()}, 1.5);
    REQUIRE(opening.onset.has_value());
    REQUIRE(opening.curve->greatestPressure() > 1.2 * opening.onset->pressure_mpa);
    for (const OpeningKnot& knot : opening.curve->knots()) {
        INFO(knot.pressure_mpa / opening.onset->pressure_mpa << " of the onset's load");
        CHECK(knot.opening.gap_mm <= knot.opening.lift_mm);
        CHECK(knot.opening.gap_mm == Approx(knot.opening.lift_mm).epsilon(0.002));
    }
}

TEST_CASE("a raised seat lets nothing pass before the face disc leaves it", "[damping]") {
    const auto mm = Length::fromMillimetres;
    const StackSpec preloaded({mm(10), mm(13), mm(20), mm(6), mm(20.5), mm(0.1)},
                              parseStackText("3 x 24 x 0.15, 1 x 18 x 0.15"));
    const ValveFlow flow = usualFlow();
    const StackOpening opening = openingOverFlow(preloaded, std::vector{flow}, 0.5);
    REQUIRE(opening.complete);
    const double opens = StackLift(preloaded).overLift(0.1, Regime::large).opening_pressure_mpa.value();
    CHECK(opening.curve->at(0.99 * opens).gap_mm < 1e-4);
    CHECK(opening.curve->at(1.1 * opens).gap_mm > 1e-3);
    CHECK(opening.curve->meteringRadius() == Approx(10.25));
    const DampingValve valve(flow, *opening.curve);
    CHECK(valve.atSpeed(1e-5).value().drop_mpa == Approx(opens).epsilon(0.03));
    CHECK(valve.atSpeed(0.5).value().drop_mpa > 1.1 * opens);
    // With a bleed the slowest flow passes there alone.
    ValveFlow bled = flow;
    bled.bleed_diameter_mm = 1;
    CHECK(DampingValve(bled, *opening.curve).atSpeed(0.001).value().bleed_share == Approx(1));
}

TEST_CASE("a flow that no lift of the stack lets pass ends with a reason", "[damping]") {
    ValveFlow flow = usualFlow();
    flow.swept_area_mm2 = 1e5;
    const StackOpening opening =
        openingOverFlow(test::inUsualValve("1 x 24 x 0.3, 1 x 20 x 0.3"), std::vector{flow}, 50);
    CHECK_FALSE(opening.complete);
    CHECK_FALSE(opening.reason.empty());
    REQUIRE(opening.curve.has_value());
    const DampingValve valve(flow, *opening.curve);
    const std::vector<DampingPoint> points = valve.atSpeeds(std::vector{0.001, 0.01, 50.0});
    CHECK(points.size() == 2);
}
