// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/kit/recipe_json.h"

#include "planner/stack/json_fields.h"
#include "planner/stack/stack_json.h"
#include "planner/units/input_error.h"

#include <nlohmann/json.hpp>

#include <string>
#include <utility>

namespace shimledger::planner {

namespace {

WantedStack recipeIn(nlohmann::json recipe, std::size_t number) {
    std::string where = "recipe " + std::to_string(number);
    if (!recipe.is_object()) throw InputError(where + " must be an object in braces");
    if (recipe.contains("name")) {
        if (!recipe["name"].is_string()) throw InputError(where + ": its name must be text");
        where += " (" + shown(recipe["name"].get<std::string>()) + ")";
    }
    const std::string name = recipe.contains("name") ? recipe["name"].get<std::string>() : where;
    const double jobs = numberIn(field(recipe, "jobs_a_year", where), where + ": jobs_a_year");
    if (!(jobs >= 0 && jobs <= 100'000)) throw InputError(where + ": jobs_a_year must be 0 to 100000");
    int legs = 2;
    if (recipe.contains("legs")) {
        const nlohmann::json& given = recipe["legs"];
        if (!given.is_number_integer() || given.get<double>() < 1 || given.get<double>() > 4)
            throw InputError(where + ": legs must be 1 to 4");
        legs = given.get<int>();
    }
    for (const char* own : {"name", "jobs_a_year", "legs"}) recipe.erase(own);
    try {
        return {name, parseStackJson(recipe.dump()), legs, jobs, 0};
    } catch (const InputError& error) {
        throw InputError(where + ": " + error.what());
    }
}

} // namespace

std::vector<WantedStack> parseRecipeJson(std::string_view text) {
    nlohmann::json root;
    try {
        root = nlohmann::json::parse(text);
    } catch (const nlohmann::json::parse_error& error) {
        throw InputError("the recipes are not valid JSON near byte " + std::to_string(error.byte) +
                         ": look at the commas, quotes and brackets before it");
    }
    checkFields(root, {"recipes"}, "the file of recipes");
    const nlohmann::json& list = field(root, "recipes", "the file of recipes");
    if (!list.is_array() || list.empty()) throw InputError("'recipes' must be a list of at least one recipe");
    std::vector<WantedStack> recipes;
    for (std::size_t i = 0; i < list.size(); ++i) recipes.push_back(recipeIn(list[i], i + 1));
    return recipes;
}

} // namespace shimledger::planner
