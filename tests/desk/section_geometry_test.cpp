// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/stack_view/section_geometry.h"
#include "app/desk/stack_view/section_painter.h"
#include "app/desk/stack_view/stack_curves.h"
#include "planner/mechanics/stack_lift.h"

#include <algorithm>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::length_literals;
using namespace shimledger::desk;

namespace {

planner::StackSpec crossoverStack() {
    return {{10_mm, 13_mm, 20_mm, 6_mm, {}, 0_mm},
            {{2, 24_mm, 0.15_mm, {}, {}}, {1, 14_mm, 0.10_mm, {}, {}}, {2, 22_mm, 0.15_mm, {}, {}}}};
}

} // namespace

TEST_CASE("Discs at rest lie on one another from the piston face to the clamp") {
    const SectionGeometry section = sectionGeometry(crossoverStack(), {});
    REQUIRE(section.discs.size() == 5);
    CHECK(section.height_mm == Approx(0.70));
    CHECK(section.outer_radius_mm == Approx(12.0));
    double floor = 0;
    for (const DiscOutline& disc : section.discs) {
        CHECK(disc.outline.boundingRect().top() == Approx(floor).margin(1e-9));
        floor += disc.outline.boundingRect().height();
    }
    CHECK(floor == Approx(section.height_mm));
}

TEST_CASE("The rim of the face disc is drawn as high as the lift says") {
    planner::StackLift lift(crossoverStack());
    const auto shapes = lift.shapesAt(0.08, planner::Regime::large);
    REQUIRE(shapes);
    const QRectF face = sectionGeometry(crossoverStack(), *shapes).discs.front().outline.boundingRect();
    CHECK(face.bottom() == Approx(0.15 + 0.08).margin(1e-6)); // QRectF's bottom is the greatest y
    CHECK(face.right() == Approx(12.0));
}

TEST_CASE("The second stage is drawn as touched once the crossover's gap has closed, and not before") {
    std::vector<planner::DiscRow> rows = crossoverStack().rows();
    rows[1].thickness = 0.03_mm;
    const planner::StackSpec stack(crossoverStack().valve(), rows);
    planner::StackLift lift(stack);
    const planner::StackReport report = lift.overLift(0.30, planner::Regime::large);
    REQUIRE(report.closings.size() == 1);
    const double closing_mm = report.closings.front().lift_mm;
    const auto joins = [&](double lift_mm) {
        const auto shapes = lift.shapesAt(lift_mm, planner::Regime::large);
        REQUIRE(shapes);
        const SectionGeometry section = sectionGeometry(stack, *shapes);
        return std::any_of(section.touches.begin(), section.touches.end(), [](const TouchPoint& touch) {
            return touch.lower_row == 0 && touch.upper_row == 2;
        });
    };
    CHECK_FALSE(joins(0.8 * closing_mm));
    CHECK(joins(1.2 * closing_mm));
}

TEST_CASE("Heights are exaggerated by the largest factor of the series that still fits") {
    CHECK(heightFactor(2.0, 10.0, 200.0) == 10);
    CHECK(heightFactor(2.0, 10.0, 199.0) == 8);
    CHECK(heightFactor(50.0, 10.0, 100.0) == 1); // nothing fits: true scale
}

TEST_CASE("Labels keep their order, do not overlap and stay inside") {
    const std::vector<double> spread = spreadLabels({100, 99, 98, 40}, 20, 0, 110);
    REQUIRE(spread.size() == 4);
    CHECK(spread.front() <= 100.0);
    CHECK(spread.back() >= 10.0);
    for (std::size_t i = 1; i < spread.size(); ++i) {
        CHECK(spread[i - 1] - spread[i] >= 20.0 - 1e-9);
    }
}

TEST_CASE("A substitute that is the target itself deviates nowhere, and a stiffer one upward") {
    const std::stop_token never;
    const StackCurves target = computeStackCurves(crossoverStack(), {}, {}, {}, never);
    REQUIRE(target.report.converged);
    REQUIRE(target.shapes.size() == 31);
    REQUIRE(target.band);
    const auto same = deviationOverLift(target.report.curve, target.report.curve);
    REQUIRE(same.size() == 30);
    for (const DeviationPoint& point : same) {
        CHECK(point.per_cent == Approx(0).margin(1e-9));
    }

    std::vector<planner::DiscRow> rows = crossoverStack().rows();
    rows.front().count = 3;
    const planner::StackSpec stiffer(crossoverStack().valve(), rows);
    const StackCurves curves = computeStackCurves(stiffer, {}, {}, {}, never);
    for (const DeviationPoint& point : deviationOverLift(target.report.curve, curves.report.curve)) {
        CHECK(point.per_cent > 5);
    }
}

TEST_CASE("A stopped computation returns early") {
    std::stop_source source;
    source.request_stop();
    CHECK(computeStackCurves(crossoverStack(), {}, {}, {}, source.get_token()).shapes.empty());
}
