#include <catch2/catch.hpp>

#include "planner/mechanics/stack_lift.h"
#include "planner/mechanics/warp_branch.h"
#include "planner/mechanics/warp_onset.h"
#include "planner/stack/stack_text.h"

#include <nlohmann/json.hpp>

#include <cmath>
#include <fstream>
#include <map>
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
    for (const auto& entry : cases) {
        if (entry["onset"].is_null()) continue;
        const ReferenceCase found{stackOf(entry), entry["onset"]["mean_lift_mm"].get<double>(),
                                  entry["onset"]["pressure_mpa"].get<double>(),
                                  entry["pressure_mpa"].get<std::vector<double>>(),
                                  entry["mean_rim_lift_mm"].get<std::vector<double>>()};
        const auto name = entry["name"].get<std::string>();
        const auto known = earliest.find(name);
        if (known == earliest.end() || found.onset_lift_mm < known->second.onset_lift_mm) {
            earliest.insert_or_assign(name, found);
        }
    }
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

TEST_CASE("a clamp outside the checked range is said", "[warp]") {
    const ValveGeometry valve{Length::fromMillimetres(17),
                              Length::fromMillimetres(18),
                              Length::fromMillimetres(23),
                              Length::fromMillimetres(6),
                              {},
                              {}};
    const WarpOnsetResult result = findWarpOnset(StackSpec(valve, parseStackText("24 x 0.15")), 0.2);
    CHECK(result.caution.find("71 %") != std::string::npos);
}
