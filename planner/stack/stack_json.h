// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/stack/stack_spec.h"
#include "planner/stack/valve_flow.h"

#include <optional>
#include <string>
#include <string_view>

namespace shimledger::planner {

/// A stack and, where it says so, the valve's hydraulics.
struct StackFile {
    StackSpec stack;
    std::optional<ValveFlow> flow;
};

/// STACK.json, piston face first; seat_diameter_mm, preload_mm, ring_id_mm, material and flow are optional:
///   {"valve": {"clamp_od_mm": 10, "port_inner_diameter_mm": 13, "port_outer_diameter_mm": 20, "shim_id_mm":
///   6},
///    "material": {"elastic_modulus_mpa": 206000, "poisson_ratio": 0.3, "tensile_strength_mpa": 1170},
///    "discs": [{"count": 5, "od_mm": 24, "thickness_mm": 0.10}, ...],
///    "flow": {...}}                                                        see flow_json.h
/// Throws InputError naming the field on anything that is not such a stack; unknown fields are refused,
/// since a misspelt "preload_mm" would otherwise be ignored in silence.
[[nodiscard]] StackFile parseStackFile(std::string_view json);
/// Its stack alone; a "flow" with a mistake is refused here too.
[[nodiscard]] StackSpec parseStackJson(std::string_view json);

/// The same form, indented by two blanks, lengths in millimetres.
[[nodiscard]] std::string stackJson(const StackSpec& stack);

} // namespace shimledger::planner
