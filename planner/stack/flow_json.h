// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/stack/valve_flow.h"

#include <nlohmann/json_fwd.hpp>

namespace shimledger::planner {

/// The "flow" of STACK.json; required are swept_area_mm2, port_area_mm2 and oil:
///   {"swept_area_mm2": 300, "force_area_mm2": 300, "port_area_mm2": 60,      0.1 to 100000
///    "port_discharge": 0.7, "curtain_discharge": 0.7, "bleed_discharge": 0.7,  0.1 to 1
///    "open_share": 1.0,                                                      0.01 to 1
///    "bleed_diameter_mm": 1.2,                                               0 to 20
///    "temperature_c": 40,                                                    -40 to 150
///    "backing_pressure_mpa": 1.0,                                            0 to 50
///    "oil": {"density_15c_kg_m3": 850, "viscosity_40c_mm2_s": 15, "viscosity_100c_mm2_s": 3.5},
///    "adjuster": {"click": 8, "table": [{"click": 0, "bleed_diameter_mm": 0}, ...]}}
/// Densities 500 to 1500; viscosities 1 to 5000 and falling. An adjuster stands in place of
/// bleed_diameter_mm: clicks counted out from closed, 0 to 200 and ascending, diameters rising; between two
/// of them diameters are linear. In place of a table, measured, it may have a needle (needle_adjuster.h):
///    "needle": {"seat_diameter_mm": 2, "cone_angle_deg": 20, "pitch_mm": 0.5, "clicks_per_turn": 12,
///    "clicks": 20}
/// Throws InputError naming the field; unknown fields are refused.
[[nodiscard]] ValveFlow flowIn(const nlohmann::json& object);

} // namespace shimledger::planner
