// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "planner/mechanics/scatter_band.h"
#include "planner/mechanics/stack_lift.h"
#include "planner/stack/stack_text.h"
#include "tests/planner/reference_csv.h"
#include "tests/planner/usual_valve.h"

#include <cmath>
#include <numeric>
#include <random>
#include <string>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;

namespace {

Length mm(double value) {
    return Length::fromMillimetres(value);
}

const std::string crossover =
    "5 x 24 x 0.10, 14 x 0.10, 23 x 0.15, 21 x 0.15, 19 x 0.15, 17 x 0.15, 15 x 0.15, 13 x 0.20";

} // namespace

TEST_CASE("the gap of a crossover closes once, between the discs that meet over it", "[report]") {
    const StackReport report = StackLift(test::inUsualValve(crossover)).overLift(0.30, Regime::large);
    REQUIRE(report.converged);
    REQUIRE(report.closings.size() == 1);
    CHECK(report.closings[0].lower_row == 0);
    CHECK(report.closings[0].upper_row == 2);
    // The face must rise at least the gap of 0.10 mm where it meets the second stage.
    CHECK(report.closings[0].lift_mm > 0.10);
    CHECK(report.closings[0].lift_mm < 0.20);
}

TEST_CASE("the shares of the load add up, and the face levers over the crossover until it closes",
          "[report]") {
    StackLift lift(test::inUsualValve(crossover));
    const StackReport early = lift.overLift(0.05, Regime::large, 5);
    const StackReport late = lift.overLift(0.30, Regime::large, 10);
    for (const StackReport* report : {&early, &late}) {
        CHECK(std::accumulate(report->load_share.begin(), report->load_share.end(), 0.0) ==
              Approx(1.0).epsilon(1e-6));
    }
    // Before the crossover closes the face levers over its edge; afterwards the second stage bears more.
    CHECK(early.load_share[0] < 0);
    CHECK(late.load_share[0] > early.load_share[0]);
}

// Roark's Formulas, table 11.2 case 2l: sigma = 6 M / t^2 at the clamp.
TEST_CASE("the bending stress of a lone disc is the closed form's", "[report]") {
    for (const auto& row : referenceRows("plate_closed_form.csv")) {
        if (row.at("id") != "P03" && row.at("id") != "P05") continue;
        INFO(row.at("id"));
        const auto number = [&](const char* column) { return std::stod(row.at(column)); };
        const ValveGeometry valve{mm(2 * number("b_inner_radius_mm")),
                                  mm(2 * number("r1_mm")),
                                  mm(2 * number("r2_mm")),
                                  mm(3),
                                  {},
                                  {}};
        const StackSpec stack(valve, {{1, mm(2 * number("a_outer_radius_mm")), mm(number("t_mm")), {}, {}}});
        StackLift lift(stack, GridOptions::fineGrid());
        const std::vector<double> pressure{number("load_value")};
        const StackReport report = lift.atPressures(pressure, Regime::small);
        REQUIRE(report.converged);
        CHECK(report.curve.points().back().lift_mm == Approx(number("w_outer_mm")).epsilon(1e-5));
        CHECK(report.stresses[0].bending_mpa == Approx(std::abs(number("sigma_r_inner_MPa"))).epsilon(2e-3));
        CHECK(report.stresses[0].radius_mm == Approx(number("b_inner_radius_mm")));
    }
}

TEST_CASE("shapes start flat at the clamp and end at the lift", "[report]") {
    StackLift lift(test::inUsualValve(crossover));
    const auto shapes = lift.shapesAt(0.2, Regime::large);
    REQUIRE(shapes.has_value());
    REQUIRE(shapes->size() == 8);
    CHECK(shapes->front().deflection_mm.front() == Approx(0).margin(1e-12));
    CHECK(shapes->front().deflection_mm.back() == Approx(0.2));
    CHECK((*shapes)[2].rest_height_mm == Approx(0.6));
}

TEST_CASE("warnings name what is near its limit, and a preloaded stack tells its opening pressure",
          "[report]") {
    const StackReport high =
        StackLift(test::inUsualValve("24 x 0.30, 22 x 0.30, 20 x 0.30")).overLift(1.0, Regime::large);
    std::string all;
    for (const std::string& warning : high.warnings) all += warning;
    CHECK(high.warp_warning.find("round shape") != std::string::npos);
    CHECK(all.find("MPa at full lift") != std::string::npos);
    const StackSpec preloaded({mm(10), mm(13), mm(20), mm(6), mm(20.5), mm(0.05)}, parseStackText(crossover));
    StackLift lift(preloaded);
    const StackReport report = lift.overLift(0.10, Regime::large, 10);
    REQUIRE(report.opening_pressure_mpa.has_value());
    CHECK(*report.opening_pressure_mpa > 0);
    CHECK(*report.opening_pressure_mpa < report.curve.points().front().pressure_mpa);
}

TEST_CASE("a lift curve passes through its points and rises between them", "[curve]") {
    const StackReport report = StackLift(test::inUsualValve(crossover)).overLift(0.30, Regime::large, 12);
    double last = 0;
    for (double lift = 0; lift <= 0.30; lift += 0.001) {
        const double pressure = report.curve.pressureAt(lift);
        CHECK(pressure >= last);
        last = pressure;
    }
    for (const LiftPoint& point : report.curve.points())
        CHECK(report.curve.pressureAt(point.lift_mm) == Approx(point.pressure_mpa));
    CHECK_THROWS_AS(report.curve.pressureAt(0.31), std::logic_error);
}

TEST_CASE("the deviation of two curves has its place and its sign", "[curve]") {
    const std::vector<double> lifts{0.001, 0.1, 0.2}, target{1, 2, 4}, other{1.01, 2.1, 3.6};
    const CurveDeviation deviation = compareCurves(lifts, target, other);
    CHECK(deviation.max_deviation == Approx(0.10));
    CHECK(deviation.signed_deviation == Approx(-0.10));
    CHECK(deviation.at_lift_mm == Approx(0.2));
    CHECK(deviation.small_lift_ratio == Approx(1.01));
    CHECK(deviation.full_lift_ratio == Approx(0.9));
}

// EN ISO 9445-1, strip narrower than 125 mm.
TEST_CASE("tolerance classes hold the standard's half-widths", "[scatter]") {
    int covered = 0;
    for (const auto& row : referenceRows("thickness_tolerances.csv")) {
        if (!row.at("standard").starts_with("EN ISO 9445-1") || row.at("strip_width_mm") != "<125") continue;
        const char kind = row.at("class").front();
        const ToleranceClass tolerance = kind == 'n'   ? ToleranceClass::normal
                                         : kind == 'f' ? ToleranceClass::fine
                                                       : ToleranceClass::precision;
        CHECK(toleranceHalfWidth(tolerance, std::stod(row.at("nominal_mm"))) ==
              Approx(std::stod(row.at("plus_mm"))));
        ++covered;
    }
    CHECK(covered == 15);
}

TEST_CASE("the scatter band from sensitivities agrees with 2,000 random draws", "[scatter]") {
    const StackSpec stack = test::inUsualValve("4 x 24 x 0.15, 22 x 0.15, 20 x 0.15, 16 x 0.20");
    const std::vector<double> lifts{0.05, 0.15, 0.30};
    const auto band = scatterBand(stack, {}, lifts, ToleranceClass::precision);
    REQUIRE(band.has_value());
    const GroupedStack grouped = groupStack(stack);
    const LiftModel model(stack.valve(), grouped.shapes);
    LiftWorkspace workspace = model.makeWorkspace();
    std::mt19937 random(2026);
    const auto normal = [&] { // twelve uniform draws: portable, and close enough to normal for a variance
        double sum = -6;
        for (int i = 0; i < 12; ++i) sum += static_cast<double>(random()) / 4294967296.0;
        return sum;
    };
    constexpr int draws = 2000;
    std::vector<double> sum(lifts.size()), squares(lifts.size()), pressures(lifts.size());
    for (int draw = 0; draw < draws; ++draw) {
        std::vector<GroupSums> sums(grouped.sums.size());
        for (std::size_t row = 0; row < stack.rows().size(); ++row) {
            const DiscRow& discs = stack.rows()[row];
            const double nominal = discs.thickness.millimetres();
            const double sigma = toleranceHalfWidth(ToleranceClass::precision, nominal) / 3 / std::sqrt(2.0);
            const double lot = sigma * normal();
            for (int i = 0; i < discs.count; ++i) {
                const GroupSums one =
                    sumsOf(1, nominal + lot + sigma * normal(), discs.material.elastic_modulus_mpa);
                GroupSums& group = sums[static_cast<std::size_t>(grouped.group_of_row[row])];
                group.thickness_mm += one.thickness_mm;
                group.bending_n_mm += one.bending_n_mm;
                group.membrane_n_per_mm += one.membrane_n_per_mm;
            }
        }
        REQUIRE(model.pressuresAtLifts(sums, lifts, Regime::large, workspace, pressures).converged);
        for (std::size_t k = 0; k < lifts.size(); ++k) {
            sum[k] += pressures[k];
            squares[k] += pressures[k] * pressures[k];
        }
    }
    for (std::size_t k = 0; k < lifts.size(); ++k) {
        const double mean = sum[k] / draws;
        const double drawn = std::sqrt(squares[k] / draws - mean * mean) / mean;
        const double told = std::hypot(band->disc_to_disc[k], band->lot_to_lot[k]);
        // 2,000 draws know a standard deviation to 1.6 %; five times that, and second-order terms.
        CHECK(drawn == Approx(told).epsilon(0.08));
    }
}

TEST_CASE("the edge of a preloaded face sinks before it opens, and its curve is told from there on",
          "[lift]") {
    const Regime regime = GENERATE(Regime::small, Regime::large);
    const StackSpec preloaded({mm(10), mm(13), mm(20), mm(6), mm(20.5), mm(0.05)},
                              parseStackText("3 x 24 x 0.15, 22 x 0.15, 20 x 0.15, 18 x 0.15, 16 x 0.15, "
                                             "14 x 0.15, 12 x 0.20"));
    const StackReport report =
        StackLift(preloaded).atPressures(std::vector<double>{0.0, 0.1, 0.3, 0.8, 1.5, 2.5}, regime, 0.12);
    REQUIRE(report.converged);
    const std::vector<LiftPoint>& points = report.curve.points();
    REQUIRE(points.size() == 6);
    REQUIRE(report.opening_pressure_mpa);
    CHECK(points[1].lift_mm < 0);
    CHECK(points[1].lift_mm > -0.01);
    double last = 0;
    for (const LiftPoint& point : points) {
        if (point.pressure_mpa <= *report.opening_pressure_mpa) continue;
        CHECK(point.lift_mm > last);
        last = point.lift_mm;
        CHECK(report.curve.pressureAt(point.lift_mm) == Approx(point.pressure_mpa));
    }
    REQUIRE(last > 0);
    // Where the edge is back at its rest the pressure is that of opening or above, not none.
    CHECK(report.curve.pressureAt(0) > points[1].pressure_mpa);
}

TEST_CASE("a curve needs ascending pressures and has no pressure for a lift that it does not reach",
          "[lift]") {
    CHECK_THROWS_AS(LiftCurve({{0.2, 0.1, 0}, {0.1, 0.2, 0}}), std::logic_error);
    const LiftCurve sunk({{0.1, -0.002, 0}, {0.2, -0.004, 0}, {0.3, -0.001, 0}});
    CHECK(sunk.greatestLift() == 0);
    CHECK_THROWS_AS(sunk.pressureAt(0), std::logic_error);
    const LiftCurve opened({{0.1, -0.002, 0}, {0.2, -0.004, 0}, {0.3, 0.004, 0}});
    CHECK(opened.pressureAt(0) == Approx(0.25));
    const LiftCurve plain({{0.1, 0.01, 0}, {0.2, 0.02, 0}});
    CHECK(plain.pressureAt(0) == 0);
    CHECK(plain.pressureAt(0.015) == Approx(0.15));
}
