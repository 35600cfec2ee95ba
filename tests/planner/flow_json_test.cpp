// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/stack/stack_json.h"
#include "planner/units/input_error.h"

#include <nlohmann/json.hpp>

#include <catch2/catch.hpp>

#include <functional>
#include <string>

using namespace shimledger;
using namespace shimledger::planner;
using nlohmann::json;

namespace {

/// A stack file with a whole flow, changed.
std::string fileWith(const std::function<void(json& flow)>& change) {
    json root = json::parse(
        R"({"valve": {"clamp_od_mm": 10, "port_inner_diameter_mm": 13, "port_outer_diameter_mm": 20,
            "shim_id_mm": 6}, "discs": [{"count": 5, "od_mm": 24, "thickness_mm": 0.10}],
            "flow": {"swept_area_mm2": 300, "force_area_mm2": 280, "port_area_mm2": 60, "port_discharge": 0.75,
            "open_share": 0.8, "curtain_discharge": 0.65, "bleed_diameter_mm": 1.2, "bleed_discharge": 0.62,
            "temperature_c": 25, "backing_pressure_mpa": 1.1,
            "oil": {"density_15c_kg_m3": 850, "viscosity_40c_mm2_s": 15, "viscosity_100c_mm2_s": 3.5}}})");
    change(root["flow"]);
    return root.dump();
}

std::string whyNot(const std::function<void(json& flow)>& change) {
    try {
        static_cast<void>(parseStackFile(fileWith(change)));
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

} // namespace

TEST_CASE("a stack's flow is read, and what is not said has the contract's values", "[stack]") {
    const ValveFlow flow = parseStackFile(fileWith([](json&) {})).flow.value();
    CHECK(flow.swept_area_mm2 == 300);
    CHECK(flow.force_area_mm2 == 280);
    CHECK(flow.port_area_mm2 == 60);
    CHECK(flow.port_discharge == 0.75);
    CHECK(flow.open_share == 0.8);
    CHECK(flow.curtain_discharge == 0.65);
    CHECK(flow.bleed_diameter_mm == 1.2);
    CHECK(flow.bleed_discharge == 0.62);
    CHECK(flow.temperature_c == 25);
    CHECK(flow.backing_pressure_mpa == 1.1);
    CHECK(flow.oil == Oil{850, 15, 3.5});
    const ValveFlow least =
        parseStackFile(fileWith([](json& object) {
            for (const char* name :
                 {"force_area_mm2", "port_discharge", "open_share", "curtain_discharge", "bleed_diameter_mm",
                  "bleed_discharge", "temperature_c", "backing_pressure_mpa"})
                object.erase(name);
        })).flow.value();
    ValveFlow expected;
    expected.swept_area_mm2 = expected.force_area_mm2 = 300;
    expected.port_area_mm2 = 60;
    expected.oil = {850, 15, 3.5};
    CHECK(least == expected);
    CHECK(least.curtain_discharge == 0.7);
    CHECK(least.temperature_c == 40);
    const std::string without = R"({"valve": {"clamp_od_mm": 10, "port_inner_diameter_mm": 13,
        "port_outer_diameter_mm": 20, "shim_id_mm": 6}, "discs": [{"od_mm": 24, "thickness_mm": 0.10}]})";
    CHECK_FALSE(parseStackFile(without).flow.has_value());
}

TEST_CASE("a flow with a mistake names the field and what would be right", "[stack]") {
    const auto set = [](const char* name, const json& value) {
        return whyNot([&](json& flow) { flow[name] = value; });
    };
    CHECK(whyNot([](json&) {}).empty());
    CHECK(set("swept_area_mm2", -1) == "flow.swept_area_mm2 must lie in 0.1 to 100000 mm2");
    CHECK(set("swept_area_mm2", "300").find("must be a number") != std::string::npos);
    CHECK(set("port_area_mm2", 0).find("flow.port_area_mm2") != std::string::npos);
    CHECK(set("curtain_discharge", 1.2).find("0.1 to 1") != std::string::npos);
    CHECK(set("bleed_diameter_mm", -0.1).find("flow.bleed_diameter_mm") != std::string::npos);
    CHECK(set("temperature_c", 400).find("-40 to 150 C") != std::string::npos);
    CHECK(set("open_share", 0).find("flow.open_share") != std::string::npos);
    CHECK(set("bleed_diamter_mm", 1).find("bleed_diamter_mm") != std::string::npos);
    CHECK(set("oil", 850).find("flow.oil must be an object") != std::string::npos);
    CHECK(whyNot([](json& flow) { flow.erase("oil"); }).find("flow lacks 'oil'") != std::string::npos);
    CHECK(whyNot([](json& flow) { flow.erase("swept_area_mm2"); }).find("lacks 'swept_area_mm2'") !=
          std::string::npos);
    CHECK(whyNot([](json& flow) { flow["oil"]["viscosity_100c_mm2_s"] = 20; }).find("hot oil is thinner") !=
          std::string::npos);
    CHECK(whyNot([](json& flow) { flow = json::array(); }).find("flow must be an object") !=
          std::string::npos);
    // The lift verb refuses it too: a misspelt field is not passed over where nobody asked for the flow.
    CHECK_THROWS_AS(parseStackJson(fileWith([](json& flow) { flow["colour"] = 1; })), InputError);
}

TEST_CASE("an adjuster is a table of clicks or a needle, and says the bleed", "[stack]") {
    const auto with = [](const json& adjuster) {
        return [adjuster](json& flow) {
            flow.erase("bleed_diameter_mm");
            flow["adjuster"] = adjuster;
        };
    };
    const json table = json::parse(
        R"({"click": 3, "table": [{"click": 0, "bleed_diameter_mm": 0.2}, {"click": 4, "bleed_diameter_mm": 1.0}]})");
    const ValveFlow flow = parseStackFile(fileWith(with(table))).flow.value();
    CHECK(flow.click == 3);
    CHECK(flow.bleed_diameter_mm == Approx(0.8));
    const json needle = json::parse(
        R"({"click": 8, "needle": {"seat_diameter_mm": 2, "cone_angle_deg": 20, "pitch_mm": 0.5,
            "clicks_per_turn": 12, "clicks": 20}})");
    const ValveFlow tapered = parseStackFile(fileWith(with(needle))).flow.value();
    CHECK(tapered.clicks.size() == 21);
    CHECK(tapered.clicks.front().bleed_diameter_mm == 0);
    CHECK(tapered.bleed_diameter_mm == tapered.clicks[8].bleed_diameter_mm);
    const auto wrong = [&](json adjuster, const std::function<void(json&)>& change) {
        change(adjuster);
        return whyNot(with(adjuster));
    };
    CHECK(wrong(table, [](json& a) { a["click"] = 5; }).find("0 to 4") != std::string::npos);
    CHECK(wrong(table, [](json& a) { a["click"] = 1.5; }).find("whole number") != std::string::npos);
    CHECK(wrong(table, [](json& a) { a["table"][1]["click"] = 0; }).find("more than the one before") !=
          std::string::npos);
    CHECK(wrong(table, [](json& a) { a["table"][1]["bleed_diameter_mm"] = 0.1; }).find("clicks count out") !=
          std::string::npos);
    CHECK(wrong(table, [](json& a) { a["table"].erase(1); }).find("two clicks or more") != std::string::npos);
    CHECK(wrong(table, [&](json& a) { a["needle"] = needle["needle"]; }).find("either a 'table' or") !=
          std::string::npos);
    CHECK(wrong(needle, [](json& a) { a["needle"]["cone_angle_deg"] = 180; }).find("1 to 170") !=
          std::string::npos);
    CHECK(wrong(needle, [](json& a) { a["needle"].erase("pitch_mm"); }).find("lacks 'pitch_mm'") !=
          std::string::npos);
    CHECK(wrong(needle, [](json& a) { a.erase("click"); }).find("lacks 'click'") != std::string::npos);
    CHECK(whyNot([&](json& object) { object["adjuster"] = table; }).find("must be left out") !=
          std::string::npos);
}
