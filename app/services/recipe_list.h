// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/kit/kit_plan.h"

#include <string>
#include <vector>

namespace shimledger::services {

/// Recipes with a number a year, from a text that begins with "{" (planner/kit/recipe_json.h) or else is CSV:
///   name,jobs_a_year,legs,clamp_od_mm,port_inner_diameter_mm,port_outer_diameter_mm,shim_id_mm,
///   seat_diameter_mm,preload_mm,stack
/// in any order of the columns; stack in the trade's notation, rows parted by semicolons:
/// "4 x 24.0 x 0.10; 1 x 18.0 x 0.15". legs, seat and preload may be missing or empty. Throws InputError
/// naming the line and the column.
[[nodiscard]] std::vector<planner::WantedStack> readRecipes(const std::string& text);

} // namespace shimledger::services
