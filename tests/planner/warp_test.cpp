// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "planner/mechanics/stack_lift.h"
#include "planner/mechanics/warp_branch.h"
#include "planner/mechanics/warp_onset.h"
#include "planner/stack/stack_text.h"
#include "tests/planner/random_stacks.h"

#include <nlohmann/json.hpp>

#include <cmath>
#include <fstream>
#include <map>
#include <random>
#include <string>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;

namespace {

/// One stack of the finite-element reference, on the mode with the earliest onset: the one nature takes.
struct ReferenceCase {
    StackSpec stack;
    double onset_lift_mm, onset_pressure_mpa;
    std::vector<double> pressures_mpa, mean_lifts_mm;
    std::map<int, double> onset_lift_by_lobes; ///< of every number of lobes that was run and warped
};

StackSpec stackOf(const nlohmann::json& entry) {
    const auto diameter = [](const nlohmann::json& radius) {
        return Length::fromMillimetres(2 * radius.get<double>());
    };
    ValveGeometry valve;
    valve.clamp_od = diameter(entry["r_c_mm"]);
    valve.port_inner_diameter = diameter(entry["port_radii_mm"][0]);
    valve.port_outer_diameter = diameter(entry["port_radii_mm"][1]);
    valve.shim_id = Length::fromMillimetres(3);
    std::vector<DiscRow> rows;
    for (const auto& disc : entry["discs"]) {
        rows.push_back({disc["count"].get<int>(),
                        Length::fromMillimetres(disc["od_mm"].get<double>()),
                        Length::fromMillimetres(disc["thickness_mm"].get<double>()),
                        {},
                        {}});
    }
    return StackSpec(valve, rows);
}

std::map<std::string, ReferenceCase> referenceCases() {
    std::ifstream file(SHIMLEDGER_TEST_DATA "/warp_fe.json");
    const auto cases = nlohmann::json::parse(file)["cases"];
    std::map<std::string, ReferenceCase> earliest;
    std::map<std::string, std::map<int, double>> by_lobes;
    for (const auto& entry : cases) {
        if (entry["onset"].is_null()) continue;
        const ReferenceCase found{stackOf(entry),
                                  entry["onset"]["mean_lift_mm"].get<double>(),
                                  entry["onset"]["pressure_mpa"].get<double>(),
                                  entry["pressure_mpa"].get<std::vector<double>>(),
                                  entry["mean_rim_lift_mm"].get<std::vector<double>>(),
                                  {}};
        const auto name = entry["name"].get<std::string>();
        by_lobes[name][entry["lobes"].get<int>()] = found.onset_lift_mm;
        const auto known = earliest.find(name);
        if (known == earliest.end() || found.onset_lift_mm < known->second.onset_lift_mm) {
            earliest.insert_or_assign(name, found);
        }
    }
    for (auto& [name, found] : earliest) found.onset_lift_by_lobes = by_lobes[name];
    return earliest;
}

StackSpec publicCrossover() {
    const ValveGeometry valve{Length::fromMillimetres(10),
                              Length::fromMillimetres(13),
                              Length::fromMillimetres(20),
                              Length::fromMillimetres(6),
                              {},
                              {}};
    return StackSpec(valve,
                     parseStackText("5 x 24 x 0.10, 14 x 0.10, 23 x 0.15, 21 x 0.15, 19 x 0.15, 17 x 0.15, "
                                    "15 x 0.15, 13 x 0.20"));
}

} // namespace

TEST_CASE("the onset of warping lies within 8 % of three-dimensional finite elements", "[warp]") {
    const auto cases = referenceCases();
    REQUIRE(cases.size() == 6);
    for (const auto& [name, reference] : cases) {
        INFO(name);
        const WarpOnsetResult result = findWarpOnset(reference.stack, 1.3 * reference.onset_lift_mm);
        REQUIRE(result.converged);
        REQUIRE(result.onset.has_value());
        CHECK(result.onset->lift_mm == Approx(reference.onset_lift_mm).epsilon(0.08));
        CHECK(result.onset->row == 0);
        // The number of lobes as well, where finite elements do not have two within 4 % of one another.
        const auto& lobes = reference.onset_lift_by_lobes;
        REQUIRE(lobes.contains(result.onset->lobes));
        CHECK(lobes.at(result.onset->lobes) <= 1.04 * reference.onset_lift_mm);
    }
}

TEST_CASE("no onset is told where the lift stays well below the reference's", "[warp]") {
    for (const auto& [name, reference] : referenceCases()) {
        INFO(name);
        const WarpOnsetResult result = findWarpOnset(reference.stack, 0.9 * reference.onset_lift_mm);
        CHECK(result.converged);
        CHECK_FALSE(result.onset.has_value());
    }
}

TEST_CASE("the mean rim lift past the onset stays within 4 % of finite elements up to 1.5 times its load",
          "[warp]") {
    for (const auto& [name, reference] : referenceCases()) {
        INFO(name);
        std::vector<double> pressures;
        for (const double pressure : reference.pressures_mpa) {
            if (pressure <= 1.5 * reference.onset_pressure_mpa) pressures.push_back(pressure);
        }
        const WarpCurve curve = warpedLifts(reference.stack, pressures);
        INFO(curve.reason);
        REQUIRE(curve.converged);
        REQUIRE(curve.points.size() == pressures.size());
        for (std::size_t i = 0; i < pressures.size(); ++i) {
            INFO("at " << pressures[i] << " MPa");
            CHECK(curve.points[i].mean_lift_mm == Approx(reference.mean_lifts_mm[i]).epsilon(0.04));
        }
    }
}

TEST_CASE("before the onset the warped curve is the round one, past it the rim has a high and a low side",
          "[warp]") {
    const StackSpec stack = publicCrossover();
    const WarpCurve curve = warpedCurveOverLift(stack, 0.45, 12);
    REQUIRE(curve.converged);
    REQUIRE(curve.onset.has_value());
    StackLift round(stack);
    std::vector<double> pressures;
    for (const WarpPoint& point : curve.points) pressures.push_back(point.pressure_mpa);
    const StackReport report = round.atPressures(pressures, Regime::large);
    REQUIRE(report.converged);
    for (std::size_t i = 0; i < curve.points.size(); ++i) {
        const WarpPoint& point = curve.points[i];
        const double round_lift = report.curve.points()[i].lift_mm;
        if (point.pressure_mpa < 0.75 * curve.onset->pressure_mpa) {
            CHECK(point.mean_lift_mm == Approx(round_lift));
            CHECK(point.min_lift_mm == point.max_lift_mm);
        } else {
            CHECK(point.min_lift_mm <= point.mean_lift_mm);
            CHECK(point.mean_lift_mm <= point.max_lift_mm);
        }
        if (point.pressure_mpa > 1.15 * curve.onset->pressure_mpa)
            CHECK(point.mean_lift_mm > 1.01 * round_lift);
    }
}

TEST_CASE("stacks that never warp in range give the round curve and no onset", "[warp]") {
    const std::vector<double> pressures{0.2, 0.4, 0.6};
    const WarpCurve curve = warpedLifts(publicCrossover(), pressures);
    REQUIRE(curve.converged);
    CHECK_FALSE(curve.onset.has_value());
    CHECK(curve.points.back().max_lift_mm == curve.points.back().mean_lift_mm);
}

TEST_CASE(
    "a form that was not checked is said: wide and narrow clamps, loose rings, loads far past the onset",
    "[warp]") {
    const auto mm = Length::fromMillimetres;
    const auto cautionOf = [&](double clamp_mm, double port_mm) {
        const ValveGeometry valve{mm(clamp_mm), mm(port_mm), mm(23), mm(3), {}, {}};
        return findWarpOnset(StackSpec(valve, parseStackText("24 x 0.15")), 0.2).caution;
    };
    CHECK(cautionOf(17, 18).find("71 %") != std::string::npos);
    CHECK(cautionOf(4.5, 13).find("19 %") != std::string::npos);
    CHECK(cautionOf(5, 13).empty());
    CHECK(cautionOf(15.5, 17).empty());

    const ValveGeometry valve{mm(10), mm(13), mm(20), mm(6), {}, {}};
    const StackSpec ringed(
        valve,
        {{1, mm(24), mm(0.15), {}, {}}, {1, mm(24), mm(0.15), mm(21), {}}, {1, mm(24), mm(0.15), {}, {}}});
    CHECK(findWarpOnset(ringed, 0.2).caution.find("ring") != std::string::npos);

    const StackSpec lone(valve, parseStackText("24 x 0.15"));
    const WarpOnsetResult onset = findWarpOnset(lone, 0.5);
    REQUIRE(onset.onset.has_value());
    const double load = onset.onset->pressure_mpa;
    CHECK(warpedLifts(lone, std::vector{1.4 * load}).caution.empty());
    CHECK(warpedLifts(lone, std::vector{1.6 * load}).caution.find("not checked") != std::string::npos);
    const std::vector<double> lifts{0.1, 2.0};
    CHECK(warpedPressures(lone, lifts).caution.find("not checked") != std::string::npos);
}

TEST_CASE("what cannot be followed ends with a reason and with the points before it", "[warp]") {
    const auto mm = Length::fromMillimetres;
    const StackSpec lone({mm(10), mm(13), mm(20), mm(6), {}, {}}, parseStackText("24 x 0.15"));
    const WarpCurve curve = warpedLifts(lone, std::vector{0.2, 0.5, 500.0});
    CHECK_FALSE(curve.converged);
    CHECK(curve.points.size() == 2);
    CHECK(curve.reason.find("20 times the load") != std::string::npos);
}

TEST_CASE("far past the onset a curve over lift still has its points", "[warp]") {
    const auto mm = Length::fromMillimetres;
    const StackSpec lone({mm(10), mm(13), mm(20), mm(6), {}, {}}, parseStackText("24 x 0.15"));
    const WarpCurve curve = warpedCurveOverLift(lone, 1.5, 20);
    REQUIRE(curve.converged);
    CHECK(curve.points.size() > 10);
    CHECK(curve.points.back().mean_lift_mm >= 1.5);
    CHECK(curve.points[curve.points.size() - 2].mean_lift_mm < 1.5);
}

TEST_CASE(
    "twice as large in all lengths warps at the same pressure and twice the lift, on a mesh half as coarse",
    "[warp]") {
    // The mesh's step stays, so the larger stack is resolved twice as finely: this is the test of the mesh,
    // too.
    const auto scaled = [](int factor) {
        const auto mm = [factor](double value) { return Length::fromMillimetres(factor * value); };
        const ValveGeometry valve{mm(10), mm(13), mm(20), mm(6), {}, {}};
        return StackSpec(valve, {{2, mm(24), mm(0.15), {}, {}},
                                 {1, mm(16), mm(0.10), {}, {}},
                                 {1, mm(23), mm(0.2), {}, {}},
                                 {1, mm(18), mm(0.2), {}, {}}});
    };
    const WarpOnsetResult small = findWarpOnset(scaled(1), 0.8), large = findWarpOnset(scaled(2), 1.6);
    REQUIRE(small.onset.has_value());
    REQUIRE(large.onset.has_value());
    CHECK(large.onset->lobes == small.onset->lobes);
    CHECK(large.onset->lift_mm == Approx(2 * small.onset->lift_mm).epsilon(0.02));
    CHECK(large.onset->pressure_mpa == Approx(small.onset->pressure_mpa).epsilon(0.03));
    std::vector<double> pressures;
    for (const double part : {0.5, 1.1, 1.3, 1.5}) pressures.push_back(part * small.onset->pressure_mpa);
    const WarpCurve coarse = warpedLifts(scaled(1), pressures), fine = warpedLifts(scaled(2), pressures);
    REQUIRE(coarse.converged);
    REQUIRE(fine.converged);
    for (std::size_t i = 0; i < pressures.size(); ++i) {
        INFO(pressures[i]);
        CHECK(fine.points[i].mean_lift_mm == Approx(2 * coarse.points[i].mean_lift_mm).epsilon(0.015));
        CHECK(fine.points[i].max_lift_mm == Approx(2 * coarse.points[i].max_lift_mm).epsilon(0.04));
    }
}

TEST_CASE("further than can be followed, a curve over lift has what is known and says where that ends",
          "[warp]") {
    const auto mm = Length::fromMillimetres;
    const StackSpec lone({mm(10), mm(13), mm(20), mm(6), {}, {}}, parseStackText("24 x 0.15"));
    const WarpCurve curve = warpedCurveOverLift(lone, 5, 20);
    REQUIRE(curve.onset.has_value());
    REQUIRE_FALSE(curve.points.empty());
    CHECK(curve.points.back().pressure_mpa <= 20 * curve.onset->pressure_mpa);
    if (curve.points.back().mean_lift_mm < 5) {
        CHECK_FALSE(curve.converged);
        CHECK(curve.reason.find("20 times the load") != std::string::npos);
    }
}

TEST_CASE("a sentence about a disc that warps at next to no pressure still has a figure", "[warp]") {
    const auto mm = Length::fromMillimetres;
    const StackSpec foil({mm(10), mm(13), mm(20), mm(6), {}, {}}, parseStackText("24 x 0.02"));
    const WarpCurve curve = warpedCurveOverLift(foil, 0.2, 10);
    REQUIRE(curve.onset.has_value());
    CHECK(curve.caution.find("was not checked") != std::string::npos);
    CHECK(curve.caution.find(" 0.000 MPa") == std::string::npos);
}

TEST_CASE("a stiffer steel warps at the same lift and a pressure in proportion", "[warp]") {
    const auto mm = Length::fromMillimetres;
    const ValveGeometry valve{mm(10), mm(13), mm(20), mm(6), {}, {}};
    Material stiff;
    stiff.elastic_modulus_mpa *= 1.5;
    const StackSpec plain(valve, {{1, mm(24), mm(0.15), {}, {}}, {1, mm(20), mm(0.15), {}, {}}});
    const StackSpec stiffer(valve, {{1, mm(24), mm(0.15), {}, stiff}, {1, mm(20), mm(0.15), {}, stiff}});
    const WarpOnsetResult a = findWarpOnset(plain, 0.6), b = findWarpOnset(stiffer, 0.6);
    REQUIRE(a.onset.has_value());
    REQUIRE(b.onset.has_value());
    CHECK(b.onset->lift_mm == Approx(a.onset->lift_mm).margin(0.002));
    CHECK(b.onset->pressure_mpa == Approx(1.5 * a.onset->pressure_mpa).epsilon(0.01));
    CHECK(b.onset->row == a.onset->row);
}

TEST_CASE("random stacks warp, stay round or give a reason, and no figure is without meaning", "[warp]") {
    std::mt19937 random(20261125);
    int warped = 0;
    for (int i = 0; i < 16; ++i) {
        const StackSpec stack = test::randomStack(random, {.gaps = i % 2 == 0, .seat = i % 5 == 0});
        INFO(stackText(stack.rows(), ", "));
        const WarpCurve curve = warpedCurveOverLift(stack, 0.7, 8);
        CHECK(curve.converged == curve.reason.empty());
        warped += curve.onset ? 1 : 0;
        double before = 0;
        for (const WarpPoint& point : curve.points) {
            REQUIRE(std::isfinite(point.mean_lift_mm));
            REQUIRE(std::isfinite(point.min_lift_mm));
            REQUIRE(std::isfinite(point.max_lift_mm));
            CHECK(point.min_lift_mm <= point.mean_lift_mm);
            CHECK(point.mean_lift_mm <= point.max_lift_mm);
            CHECK(point.mean_lift_mm > before);
            before = point.mean_lift_mm;
        }
    }
    CHECK(warped > 5);
}
