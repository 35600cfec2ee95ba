// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/stack/flow_json.h"

#include "planner/stack/json_fields.h"
#include "planner/stack/needle_adjuster.h"
#include "planner/units/input_error.h"

#include <nlohmann/json.hpp>

namespace shimledger::planner {

namespace {

using nlohmann::json;

constexpr int most_clicks = 200;

struct Range {
    double least = 0, greatest = 0;
    const char* text = nullptr; ///< as a sentence says it
};

constexpr Range areas{0.1, 1e5, "0.1 to 100000 mm2"};
constexpr Range discharges{0.1, 1, "0.1 to 1"};
constexpr Range shares{0.01, 1, "0.01 to 1"};
constexpr Range bleeds{0, 20, "0 to 20 mm"};
constexpr Range temperatures{-40, 150, "-40 to 150 C"};
constexpr Range pressures{0, 50, "0 to 50 MPa"};
constexpr Range densities{500, 1500, "500 to 1500 kg/m3"};
constexpr Range viscosities{1, 5000, "1 to 5000 mm2/s"};
constexpr Range seats{0.1, 50, "0.1 to 50 mm"};
constexpr Range angles{1, 170, "1 to 170 degrees"};
constexpr Range pitches{0.05, 10, "0.05 to 10 mm"};

double within(const Range& range, const json& value, const std::string& what) {
    const double number = numberIn(value, what);
    if (!(number >= range.least && number <= range.greatest))
        throw InputError(what + " must lie in " + range.text);
    return number;
}

double required(const Range& range, const json& object, const char* name, const std::string& where) {
    return within(range, field(object, name, where), where + "." + name);
}

int wholeNumberIn(int least, int greatest, const json& object, const char* name, const std::string& where) {
    const json& value = field(object, name, where);
    const std::string what = where + "." + name;
    if (!value.is_number_integer()) throw InputError(what + " must be a whole number");
    const auto number = value.get<double>();
    if (number < least || number > greatest)
        throw InputError(what + " must lie in " + std::to_string(least) + " to " + std::to_string(greatest));
    return static_cast<int>(number);
}

Oil oilIn(const json& object) {
    const std::string where = "flow.oil";
    checkFields(object, {"density_15c_kg_m3", "viscosity_40c_mm2_s", "viscosity_100c_mm2_s"}, where);
    Oil oil;
    oil.density_15c_kg_m3 = required(densities, object, "density_15c_kg_m3", where);
    oil.viscosity_40c_mm2_s = required(viscosities, object, "viscosity_40c_mm2_s", where);
    oil.viscosity_100c_mm2_s = required(viscosities, object, "viscosity_100c_mm2_s", where);
    if (oil.viscosity_100c_mm2_s >= oil.viscosity_40c_mm2_s)
        throw InputError(where +
                         ".viscosity_100c_mm2_s must be less than viscosity_40c_mm2_s: hot oil is thinner");
    return oil;
}

std::vector<AdjusterClick> tableIn(const json& rows) {
    const std::string where = "flow.adjuster.table";
    if (!rows.is_array() || rows.size() < 2)
        throw InputError(where + " must be a list of two clicks or more in square brackets");
    std::vector<AdjusterClick> clicks;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const std::string row = where + "[" + std::to_string(i) + "]";
        checkFields(rows[i], {"click", "bleed_diameter_mm"}, row);
        const AdjusterClick click{wholeNumberIn(0, most_clicks, rows[i], "click", row),
                                  required(bleeds, rows[i], "bleed_diameter_mm", row)};
        if (!clicks.empty() && click.click <= clicks.back().click)
            throw InputError(row + ".click must be more than the one before it");
        if (!clicks.empty() && click.bleed_diameter_mm < clicks.back().bleed_diameter_mm)
            throw InputError(row + ".bleed_diameter_mm must not be less than the one before it: clicks count "
                                   "out from closed");
        clicks.push_back(click);
    }
    return clicks;
}

std::vector<AdjusterClick> needleIn(const json& object) {
    const std::string where = "flow.adjuster.needle";
    checkFields(object, {"seat_diameter_mm", "cone_angle_deg", "pitch_mm", "clicks_per_turn", "clicks"},
                where);
    NeedleAdjuster needle;
    needle.seat_diameter_mm = required(seats, object, "seat_diameter_mm", where);
    needle.cone_angle_deg = required(angles, object, "cone_angle_deg", where);
    needle.pitch_mm = required(pitches, object, "pitch_mm", where);
    needle.clicks_per_turn = wholeNumberIn(1, most_clicks, object, "clicks_per_turn", where);
    needle.clicks = wholeNumberIn(1, most_clicks, object, "clicks", where);
    return needleClicks(needle);
}

void takeAdjuster(const json& object, ValveFlow& flow) {
    const std::string where = "flow.adjuster";
    checkFields(object, {"click", "table", "needle"}, where);
    if (object.contains("table") == object.contains("needle"))
        throw InputError(where + " needs either a 'table' or a 'needle'");
    flow.clicks = object.contains("table") ? tableIn(object["table"]) : needleIn(object["needle"]);
    flow.click = wholeNumberIn(flow.clicks.front().click, flow.clicks.back().click, object, "click", where);
    flow.bleed_diameter_mm = bleedDiameterAt(flow.clicks, *flow.click);
}

} // namespace

ValveFlow flowIn(const json& object) {
    const std::string where = "flow";
    checkFields(object,
                {"swept_area_mm2", "force_area_mm2", "port_area_mm2", "port_discharge", "open_share",
                 "curtain_discharge", "bleed_diameter_mm", "bleed_discharge", "temperature_c",
                 "backing_pressure_mpa", "oil", "adjuster"},
                where);
    ValveFlow flow;
    flow.swept_area_mm2 = required(areas, object, "swept_area_mm2", where);
    flow.force_area_mm2 = flow.swept_area_mm2;
    flow.port_area_mm2 = required(areas, object, "port_area_mm2", where);
    flow.oil = oilIn(field(object, "oil", where));
    const auto take = [&](const Range& range, const char* name, double& target) {
        if (object.contains(name)) target = within(range, object[name], where + "." + name);
    };
    take(areas, "force_area_mm2", flow.force_area_mm2);
    take(discharges, "port_discharge", flow.port_discharge);
    take(shares, "open_share", flow.open_share);
    take(discharges, "curtain_discharge", flow.curtain_discharge);
    take(bleeds, "bleed_diameter_mm", flow.bleed_diameter_mm);
    take(discharges, "bleed_discharge", flow.bleed_discharge);
    take(temperatures, "temperature_c", flow.temperature_c);
    if (object.contains("backing_pressure_mpa"))
        flow.backing_pressure_mpa = required(pressures, object, "backing_pressure_mpa", where);
    if (object.contains("adjuster")) {
        if (object.contains("bleed_diameter_mm"))
            throw InputError("flow.bleed_diameter_mm must be left out where there is an adjuster: its click "
                             "says the bleed");
        takeAdjuster(object["adjuster"], flow);
    }
    return flow;
}

} // namespace shimledger::planner
