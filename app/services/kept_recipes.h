// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/master_changes.h"
#include "inventory/recipe.h"
#include "inventory/shop_file.h"
#include "planner/kit/kit_plan.h"

#include <optional>
#include <string>
#include <vector>

namespace shimledger::services {

/// A kept recipe as the planner sees it. Throws InputError that names it where its stack cannot exist in its
/// valve.
[[nodiscard]] planner::WantedStack wantedOf(const inventory::Recipe& recipe);

/// The valve of the model with that name, or its only one where none is named. Throws InputError.
[[nodiscard]] inventory::JobValve valveOfModel(inventory::ShopFile& shop, const std::string& model,
                                               const std::string& valve);

/// Adds it, or changes it (inventory/recipe.h), where its stack can exist. Sizes of the valve that are not
/// given are those that the model has of that valve. Throws InputError.
void addRecipe(inventory::ShopFile& shop, inventory::Recipe recipe);
std::vector<inventory::MasterChange> updateRecipe(inventory::ShopFile& shop, const inventory::Recipe& recipe,
                                                  const std::optional<inventory::Recipe>& seen = {});

/// By name.
struct RecipesTaken {
    std::vector<std::string> added, changed, same;
    std::vector<std::string> notes; ///< why some were left out
};
/// Takes a file's recipes in (services/recipe_list.h), all or none. Those that are there already must be the
/// same, or are changed where `change` is said. Throws InputError.
RecipesTaken takeRecipes(inventory::ShopFile& shop, const std::string& text, bool change);

/// Makes recipes of what jobs asked for: of these jobs, or of all that were closed in the last three years.
/// One for each stack that is no recipe yet, with the number a year that the shop's jobs tell. Throws
/// InputError.
RecipesTaken takeRecipesOfJobs(inventory::ShopFile& shop, const std::vector<std::string>& jobs);

} // namespace shimledger::services
