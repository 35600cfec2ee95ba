// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/kit/kit_plan.h"

#include <string>
#include <vector>

namespace shimledger::services {

/// A recipe as a file tells it.
struct ListedRecipe {
    planner::WantedStack wanted;
    std::string model, valve, note; ///< may be empty
    bool retired = false;
};

/// Recipes with a number a year, from a text that begins with "{" (planner/kit/recipe_json.h) or else is CSV:
///   name,jobs_a_year,legs,clamp_od_mm,port_inner_diameter_mm,port_outer_diameter_mm,shim_id_mm,
///   seat_diameter_mm,preload_mm,stack
/// in any order of the columns; stack in the trade's notation, rows parted by semicolons:
/// "4 x 24.0 x 0.10; 1 x 18.0 x 0.15". legs, seat and preload may be missing or empty; "recipe" does for
/// name, and model, valve, note and retired may be there, so that recipes.csv of an export is read as well.
/// Throws InputError naming the line and the column.
[[nodiscard]] std::vector<ListedRecipe> readRecipeLines(const std::string& text);

/// What of them is not retired, as the planner takes it.
[[nodiscard]] std::vector<planner::WantedStack> readRecipes(const std::string& text);

} // namespace shimledger::services
