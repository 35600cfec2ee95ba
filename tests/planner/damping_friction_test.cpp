// SPDX-License-Identifier: GPL-3.0-or-later
// The loop that friction between the discs puts into the force over shaft speed.
#include "planner/damping/damping_study.h"
#include "planner/mechanics/disc_friction.h"
#include "planner/mechanics/stack_lift.h"
#include "planner/stack/stack_text.h"
#include "tests/planner/usual_valve.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;

namespace {

ValveFlow flowOf(double bleed_diameter_mm) {
    ValveFlow flow;
    flow.swept_area_mm2 = flow.force_area_mm2 = 300;
    flow.port_area_mm2 = 60;
    flow.bleed_diameter_mm = bleed_diameter_mm;
    flow.oil = {850, 15, 3.5};
    return flow;
}

const std::vector<double> speeds{0.05, 0.1, 0.3, 0.6};

/// Width of the loop as a part of the force, by speed.
std::vector<double> loopsOf(const StackSpec& stack, double bleed_diameter_mm = 0) {
    const DampingStudy study = studyDamping({stack, flowOf(bleed_diameter_mm)}, speeds);
    REQUIRE(study.friction_band_n.size() == speeds.size());
    std::vector<double> loops;
    for (std::size_t i = 0; i < speeds.size(); ++i) {
        const FigureRange& band = study.friction_band_n[i];
        INFO("at " << speeds[i] << " m/s");
        CHECK(band.least <= study.points[i].force_n * (1 + 1e-9));
        CHECK(band.greatest >= study.points[i].force_n * (1 - 1e-9));
        loops.push_back((band.greatest - band.least) / study.points[i].force_n);
    }
    return loops;
}

} // namespace

TEST_CASE(
    "while the pressure rises a stack stands open as its lift curve with friction says, and falling too",
    "[damping][friction]") {
    const StackSpec stack = test::inUsualValve("6 x 24 x 0.10, 22 x 0.10, 20 x 0.10, 18 x 0.10");
    const ValveFlow flow = flowOf(0);
    const StackOpening opening = openingOverFlow(stack, {&flow, 1}, 0.6);
    REQUIRE(opening.curve);
    for (const double coefficient : {usual_friction_coefficient, -usual_friction_coefficient}) {
        const OpeningCurve loaded = opening.curve->withFriction(coefficient);
        const StackReport report = StackLift(stack).overLift(0.10, Regime::large, 10, std::abs(coefficient));
        REQUIRE(report.converged);
        for (const LiftPoint& point : report.curve.points()) {
            if (point.lift_mm < 0.01) continue;
            const double added =
                std::copysign(point.friction_half_width_mm, coefficient) / point.lift_slope_mm_per_mpa;
            const auto pressure = loaded.pressureAtLift(point.lift_mm);
            INFO(coefficient << " at " << point.lift_mm << " mm");
            REQUIRE(pressure);
            CHECK(*pressure == Approx(point.pressure_mpa + added).epsilon(0.004));
        }
    }
}

TEST_CASE("many thin discs part the force of rising from that of falling speed more than few thick ones",
          "[damping][friction]") {
    // Of one cube sum: alike as the search has it.
    const std::vector<double> thick = loopsOf(test::inUsualValve("2 x 24 x 0.20")),
                              thin = loopsOf(test::inUsualValve("16 x 24 x 0.10"));
    for (std::size_t i = 0; i < speeds.size(); ++i) CHECK(thin[i] > 2 * thick[i]);
}

TEST_CASE("one disc alone makes no loop, and a bleed that carries the flow hides it at low speed",
          "[damping][friction]") {
    for (const double loop : loopsOf(test::inUsualValve("24 x 0.20"))) CHECK(loop == Approx(0).margin(1e-9));
    const StackSpec stack = test::inUsualValve("16 x 24 x 0.10");
    const std::vector<double> closed = loopsOf(stack), open = loopsOf(stack, 3.0);
    CHECK(open.front() < 0.5 * closed.front());
}

TEST_CASE("of hundreds of discs, which first order says nothing of, an opening comes all the same",
          "[damping][friction]") {
    const StackSpec stack = test::inUsualValve("500 x 24 x 0.05, 300 x 22 x 0.10");
    const ValveFlow flow = flowOf(1);
    const StackOpening opening = openingOverFlow(stack, {&flow, 1}, 0.05);
    REQUIRE(opening.curve);
    for (const double coefficient : {0.16, -0.16, 0.5, -0.5})
        CHECK(opening.curve->withFriction(coefficient).greatestPressure() > 0);
}

TEST_CASE("a preloaded stack that warps from the first lift on has no opening, and that is said",
          "[damping]") {
    const auto mm = Length::fromMillimetres;
    const StackSpec stack({mm(16), mm(16.5), mm(18.5), mm(13), mm(18.5), mm(0.3)},
                          parseStackText("60 x 25 x 0.2, 25 x 0.15, 2 x 22 x 0.3, 21 x 0.1, 6 x 18 x 0.1, "
                                         "17 x 0.15"));
    for (const double bleed : {0.0, 3.0}) {
        const DampingStudy study = studyDamping({stack, flowOf(bleed)}, speeds);
        CHECK_FALSE(study.opening.complete);
        CHECK_FALSE(study.opening.reason.empty());
        CHECK(study.points.empty());
    }
}

TEST_CASE("rising takes no less force than falling, also where a gap behind the face closes",
          "[damping][friction]") {
    const auto mm = Length::fromMillimetres;
    // Of random stacks these two once had a loop the wrong way round.
    const StackSpec early(
        {mm(14), mm(14.5), mm(16.5), mm(11), {}, {}},
        parseStackText("30 x 0.05, 3 x 16 x 0.2, 29 x 0.15, 27 x 0.2, 25 x 0.3, 24.5 x 0.1, "
                       "21.5 x 0.1, 6 x 18.5 x 0.3, 16.5 x 0.1"));
    const StackSpec between(
        {mm(7), mm(10), mm(13), mm(4), {}, {}},
        parseStackText("22 x 0.1, 2 x 8 x 0.05, 21 x 0.3, 19 x 0.15, 16 x 0.15, 14 x 0.3, "
                       "13 x 0.1, 10 x 0.1, 6 x 9 x 0.08"));
    std::vector<double> close;
    for (int i = 1; i <= 75; ++i) close.push_back(0.02 * i);
    for (const StackSpec& stack : {early, between}) {
        for (const double bleed : {0.0, 3.0}) {
            const DampingStudy study = studyDamping({stack, flowOf(bleed)}, close);
            REQUIRE_FALSE(study.friction_band_n.empty());
            for (const OpeningKnot& knot : study.opening.curve->knots()) CHECK(knot.friction_part >= 0);
            for (std::size_t i = 0; i < study.friction_band_n.size(); ++i) {
                INFO("at " << close[i] << " m/s, bleed " << bleed);
                CHECK(study.friction_band_n[i].least <= study.points[i].force_n);
                CHECK(study.friction_band_n[i].greatest >= study.points[i].force_n);
            }
        }
    }
}

TEST_CASE("an opening without friction is the opening itself", "[damping][friction]") {
    const StackSpec stack = test::inUsualValve("4 x 24 x 0.10, 20 x 0.15");
    const ValveFlow flow = flowOf(1);
    const StackOpening opening = openingOverFlow(stack, {&flow, 1}, 0.6);
    REQUIRE(opening.curve);
    const OpeningCurve same = opening.curve->withFriction(0);
    CHECK(same.greatestPressure() == opening.curve->greatestPressure());
    for (const double part : {0.1, 0.5, 0.9}) {
        const double pressure = part * same.greatestPressure();
        CHECK(same.at(pressure).gap_mm == opening.curve->at(pressure).gap_mm);
    }
}
