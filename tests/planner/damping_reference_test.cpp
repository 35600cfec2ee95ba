// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/damping/damping_valve.h"
#include "planner/damping/oil_state.h"
#include "planner/damping/orifice.h"
#include "planner/damping/stack_opening.h"
#include "planner/stack/stack_json.h"
#include "tests/planner/reference_csv.h"

#include <nlohmann/json.hpp>

#include <catch2/catch.hpp>

#include <fstream>
#include <numbers>
#include <string>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;

TEST_CASE("force, drop and lift over shaft speed are those of an independent solver", "[damping]") {
    constexpr double within = 0.02; // table and grid of the other solver are good to 1 %
    std::ifstream file(SHIMLEDGER_TEST_DATA "/damping_cases.json");
    const nlohmann::json cases = nlohmann::json::parse(file);
    REQUIRE(cases.size() == 3);
    for (const nlohmann::json& each : cases) {
        INFO(each["name"].get<std::string>());
        const StackFile stack = parseStackFile(each["spec"].dump());
        REQUIRE(stack.flow.has_value());
        const std::vector<double> speeds = each["speeds_m_s"];
        const StackOpening opening = openingOverFlow(stack.stack, std::vector{*stack.flow}, speeds.back());
        REQUIRE(opening.complete);
        CHECK_FALSE(opening.onset.has_value());
        const std::vector<DampingPoint> points = DampingValve(*stack.flow, *opening.curve).atSpeeds(speeds);
        REQUIRE(points.size() == speeds.size());
        for (std::size_t i = 0; i < speeds.size(); ++i) {
            INFO(speeds[i] << " m/s");
            CHECK(points[i].force_n == Approx(each["forces_n"][i].get<double>()).epsilon(within));
            CHECK(points[i].drop_mpa == Approx(each["drops_mpa"][i].get<double>()).epsilon(within));
            CHECK(points[i].opening.lift_mm == Approx(each["rim_lift_mm"][i].get<double>()).epsilon(within));
        }
    }
}

TEST_CASE("oil thins with heat as ASTM D341 says", "[damping]") {
    int compared = 0;
    for (const auto& row : referenceRows("fluids.csv")) {
        const std::string inputs = row.at("inputs"), quantity = row.at("quantity");
        if (row.at("topic") != "ASTM D341" || inputs.find("273.15") == std::string::npos ||
            quantity.find("v at ") != 0)
            continue;
        INFO(inputs << " " << quantity);
        const auto after = [](const std::string& text, const std::string& mark) {
            return std::stod(text.substr(text.find(mark) + mark.size()));
        };
        const Oil oil{850, after(inputs, "v40="), after(inputs, "v100=")};
        const OilState state = oilAt(oil, after(quantity, "v at "));
        CHECK(state.viscosity_mm2_s == Approx(std::stod(row.at("recomputed"))).epsilon(1e-7));
        ++compared;
    }
    CHECK(compared == 13);
    CHECK(oilAt({850, 15, 3.5}, 15).density_kg_m3 == Approx(850));
    CHECK(oilAt({850, 15, 3.5}, 95).density_kg_m3 == Approx(850 * 0.94));
}

TEST_CASE("at large flow numbers an orifice passes what the textbook's formula says", "[damping]") {
    int compared = 0;
    for (const auto& row : referenceRows("fluids.csv")) {
        if (row.at("topic") != "orifice flow") continue;
        const std::string inputs = row.at("inputs");
        INFO(inputs);
        const auto after = [&](const std::string& mark) {
            return std::stod(inputs.substr(inputs.find(mark) + mark.size()));
        };
        const double diameter = 1000 * after("d="), drop_mpa = after("dp=") / 1e6;
        const OilState thin{after("rho="), 0.1};
        const double area = std::numbers::pi / 4 * diameter * diameter;
        const double flow = orificeFlow({area, diameter, after("Cd=")}, drop_mpa, thin);
        CHECK(flow / 1e9 == Approx(std::stod(row.at("recomputed"))).epsilon(1e-8));
        CHECK(turbulentDrop(area, after("Cd="), flow, thin) == Approx(drop_mpa).epsilon(1e-8));
        ++compared;
    }
    CHECK(compared == 3);
}
