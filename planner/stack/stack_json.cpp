// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/stack/stack_json.h"

#include "planner/stack/flow_json.h"
#include "planner/stack/json_fields.h"
#include "planner/units/input_error.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <set>
#include <string>
#include <vector>

namespace shimledger::planner {

namespace {

using nlohmann::json;

constexpr std::size_t largest_text = 1 << 20; // a stack of 200 rows needs some 20 kB
constexpr int deepest_nesting = 8;

Material materialIn(const json& object, Material material, const std::string& where) {
    checkFields(object, {"name", "elastic_modulus_mpa", "poisson_ratio", "tensile_strength_mpa"}, where);
    if (object.contains("name")) {
        if (!object["name"].is_string()) throw InputError(where + ".name must be text");
        material.name = object["name"].get<std::string>();
    }
    const auto take = [&](const char* name, double& target) {
        if (object.contains(name)) target = numberIn(object[name], where + "." + name);
    };
    take("elastic_modulus_mpa", material.elastic_modulus_mpa);
    take("poisson_ratio", material.poisson_ratio);
    take("tensile_strength_mpa", material.tensile_strength_mpa);
    return material;
}

ValveGeometry valveIn(const json& object) {
    const std::string where = "valve";
    checkFields(object,
                {"clamp_od_mm", "port_inner_diameter_mm", "port_outer_diameter_mm", "shim_id_mm",
                 "seat_diameter_mm", "preload_mm"},
                where);
    ValveGeometry valve;
    valve.clamp_od = requiredLength(object, "clamp_od_mm", where);
    valve.port_inner_diameter = requiredLength(object, "port_inner_diameter_mm", where);
    valve.port_outer_diameter = requiredLength(object, "port_outer_diameter_mm", where);
    valve.shim_id = requiredLength(object, "shim_id_mm", where);
    const bool has_seat = object.contains("seat_diameter_mm") && !object["seat_diameter_mm"].is_null();
    if (has_seat) valve.seat_diameter = lengthIn(object["seat_diameter_mm"], "valve.seat_diameter_mm");
    if (object.contains("preload_mm")) valve.preload = lengthIn(object["preload_mm"], "valve.preload_mm");
    return valve;
}

DiscRow rowIn(const json& object, const Material& material, std::size_t index) {
    const std::string where = "discs[" + std::to_string(index) + "]";
    checkFields(object, {"count", "od_mm", "thickness_mm", "ring_id_mm", "material"}, where);
    DiscRow row;
    row.material = material;
    if (object.contains("count")) {
        const json& count = object["count"];
        if (!count.is_number_integer() || count.get<double>() < 0 || count.get<double>() > 1e6) {
            throw InputError(where + ".count must be a whole number");
        }
        row.count = count.get<int>();
    }
    row.od = requiredLength(object, "od_mm", where);
    row.thickness = requiredLength(object, "thickness_mm", where);
    if (object.contains("ring_id_mm")) row.ring_id = lengthIn(object["ring_id_mm"], where + ".ring_id_mm");
    if (object.contains("material"))
        row.material = materialIn(object["material"], material, where + ".material");
    return row;
}

/// Where in the text a person finds that byte (counted from 1).
std::string placeOf(std::string_view text, std::size_t byte) {
    const std::string_view before = text.substr(0, byte == 0 ? 0 : byte - 1);
    const auto line = 1 + std::count(before.begin(), before.end(), '\n');
    const std::size_t line_start = before.rfind('\n') + 1; // npos + 1 is 0
    return "line " + std::to_string(line) + ", column " + std::to_string(before.size() - line_start + 1);
}

std::string notJson(std::string_view text, std::size_t byte) {
    const std::string sentence = "the stack file is not valid JSON: ";
    if (text.find_first_not_of(" \t\r\n") == std::string_view::npos) return sentence + "it is empty";
    if (byte > text.size())
        return sentence + "it ends too early, at " + placeOf(text, text.size()) +
               ": is a closing bracket or quote missing?";
    const unsigned char found = static_cast<unsigned char>(text[byte == 0 ? 0 : byte - 1]);
    return sentence + placeOf(text, byte) +
           (found < 0x20 || found > 0x7e
                ? " has a character that cannot stand there"
                : std::string(" has a '") + static_cast<char>(found) + "' that cannot stand there") +
           ": look at the commas, quotes and brackets before it";
}

/// A name given twice in one object would silently count once.
class TwiceGiven {
public:
    void follow(int depth, json::parse_event_t event, const json& parsed) {
        constexpr int of_a_row = 2; // in the list "discs" of the outermost object
        if (event == json::parse_event_t::object_start) {
            m_names.emplace_back();
            if (depth == of_a_row) ++m_rows;
        }
        if (event == json::parse_event_t::object_end) m_names.pop_back();
        if (event != json::parse_event_t::key) return;
        const auto& name = parsed.get_ref<const std::string&>();
        if (!m_names.back().insert(name).second) {
            throw InputError("the stack file gives '" + shown(name) + "' twice" +
                             (depth > of_a_row ? " in row " + std::to_string(m_rows) + " of the discs"
                                               : std::string(" in one pair of braces")) +
                             ": leave one of them away");
        }
    }

private:
    std::vector<std::set<std::string>> m_names; // of the objects that are open, outermost first
    int m_rows = 0;
};

json parsedText(std::string_view text) {
    if (text.size() > largest_text) throw InputError("the stack file is larger than 1 MB: that is no stack");
    TwiceGiven twice;
    const auto follow = [&twice](int depth, json::parse_event_t event, json& parsed) {
        if (depth > deepest_nesting) throw InputError("the stack file is nested too deeply to be a stack");
        twice.follow(depth, event, parsed);
        return true;
    };
    try {
        return json::parse(text, follow);
    } catch (const json::parse_error& error) {
        throw InputError(notJson(text, error.byte));
    } catch (const json::exception&) { // a number beyond what a double holds
        throw InputError("the stack file holds a number that is out of range");
    }
}

} // namespace

StackFile parseStackFile(std::string_view text) {
    const json root = parsedText(text);
    checkFields(root, {"valve", "discs", "material", "flow"}, "the stack file");
    const ValveGeometry valve = valveIn(field(root, "valve", "the stack file"));
    const Material material =
        root.contains("material") ? materialIn(root["material"], {}, "material") : Material{};
    const json& discs = field(root, "discs", "the stack file");
    if (!discs.is_array()) throw InputError("'discs' must be a list in square brackets");
    std::vector<DiscRow> rows;
    for (std::size_t i = 0; i < discs.size(); ++i) rows.push_back(rowIn(discs[i], material, i));
    StackFile file{StackSpec(valve, std::move(rows)), {}};
    if (root.contains("flow")) file.flow = flowIn(root["flow"]);
    return file;
}

StackSpec parseStackJson(std::string_view text) {
    return parseStackFile(text).stack;
}

std::string stackJson(const StackSpec& stack) {
    const ValveGeometry& valve = stack.valve();
    json root;
    root["valve"] = {{"clamp_od_mm", valve.clamp_od.millimetres()},
                     {"port_inner_diameter_mm", valve.port_inner_diameter.millimetres()},
                     {"port_outer_diameter_mm", valve.port_outer_diameter.millimetres()},
                     {"shim_id_mm", valve.shim_id.millimetres()},
                     {"preload_mm", valve.preload.millimetres()}};
    if (valve.seat_diameter) root["valve"]["seat_diameter_mm"] = valve.seat_diameter->millimetres();
    root["discs"] = json::array();
    for (const DiscRow& row : stack.rows()) {
        json disc = {{"count", row.count},
                     {"od_mm", row.od.millimetres()},
                     {"thickness_mm", row.thickness.millimetres()}};
        if (row.ring_id) disc["ring_id_mm"] = row.ring_id->millimetres();
        if (row.material != Material{}) {
            disc["material"] = {{"name", row.material.name},
                                {"elastic_modulus_mpa", row.material.elastic_modulus_mpa},
                                {"poisson_ratio", row.material.poisson_ratio},
                                {"tensile_strength_mpa", row.material.tensile_strength_mpa}};
        }
        root["discs"].push_back(disc);
    }
    return root.dump(2) + "\n";
}

} // namespace shimledger::planner
