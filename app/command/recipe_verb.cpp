// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/known_names.h"
#include "app/command/master_fields_typed.h"
#include "app/command/verb_support.h"

#include "app/services/kept_recipes.h"
#include "inventory/recipe.h"

#include <fmt/format.h>

namespace shimledger::command {

namespace {

using inventory::Recipe;

int tellTaken(const services::RecipesTaken& taken, Streams& streams) {
    for (const std::string& name : taken.added) streams.out << "Recipe " << name << " is there.\n";
    for (const std::string& name : taken.changed) streams.out << "Recipe " << name << " was changed.\n";
    for (const std::string& name : taken.same) streams.out << "Recipe " << name << " was there already.\n";
    for (const std::string& note : taken.notes) streams.out << "Note: " << note << ".\n";
    return exit_done;
}

} // namespace

int runRecipeAdd(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    Recipe recipe;
    recipe.name = verb.recipe;
    takeValues(recipe, verb);
    mustBeModel(shop, recipe.model, "'model list' names all");
    services::addRecipe(shop, recipe);
    streams.out << fmt::format("Recipe {} is there: {} jobs a year.\n", recipe.name,
                               recipe.jobs_a_year.text());
    return exit_done;
}

int runRecipeChange(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeRecipe(shop, verb.recipe);
    std::vector<inventory::MasterChange> changes;
    shop.atomically([&] {
        Recipe recipe = inventory::RecipeList(shop).get(verb.recipe);
        if (!takeValues(recipe, verb)) throw nothingTyped<Recipe>();
        mustBeModel(shop, recipe.model, "'model list' names all");
        changes = services::updateRecipe(shop, recipe);
    });
    tellChanges(changes, streams.out);
    return exit_done;
}

int runRecipeRetire(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeRecipe(shop, verb.recipe);
    tellChanges({inventory::RecipeList(shop).retire(verb.recipe)}, streams.out);
    return exit_done;
}

int runRecipeBringBack(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeRecipe(shop, verb.recipe);
    tellChanges({inventory::RecipeList(shop).bringBack(verb.recipe)}, streams.out);
    return exit_done;
}

int runRecipeList(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    const auto recipes = inventory::RecipeList(shop).list(verb.retired ? inventory::Retired::included
                                                                       : inventory::Retired::leftOut);
    if (verb.json) {
        nlohmann::json root = nlohmann::json::array();
        for (const Recipe& recipe : recipes) {
            nlohmann::json object{{"recipe", recipe.name}};
            addFields(object, recipe);
            root.push_back(std::move(object));
        }
        streams.out << root.dump(2) << '\n';
        return exit_done;
    }
    for (const Recipe& recipe : recipes) {
        streams.out << fmt::format(
            "{:<24} {:>8} a year  {} {} leg{}{}\n", recipe.name, recipe.jobs_a_year.text(),
            recipe.model.empty() ? recipe.valve : recipe.model + " " + recipe.valve, recipe.legs,
            recipe.legs == 1 ? "" : "s", recipe.retired ? ", retired" : "");
        streams.out << "  " << inventory::recipeStackText(recipe.stack) << '\n';
        if (!recipe.note.empty()) streams.out << "  " << recipe.note << '\n';
    }
    if (recipes.empty()) streams.out << "There are none.\n";
    return exit_done;
}

int runRecipeImport(const MasterVerb& verb, Streams& streams) {
    const std::string text = readFile(verb.file);
    auto shop = openShop(verb.shop_file, streams);
    try {
        return tellTaken(services::takeRecipes(shop, text, verb.change), streams);
    } catch (const InputError& error) {
        throw InputError(verb.file + ": " + error.what());
    }
}

int runRecipeFromJobs(const MasterVerb& verb, Streams& streams) {
    if (verb.jobs.empty() != verb.closed)
        throw InputError(verb.closed ? "say either --job or --closed, not both"
                                     : "say which jobs: --job CODE, or --closed for all that were closed");
    auto shop = openShop(verb.shop_file, streams);
    for (const std::string& job : verb.jobs) mustBeJob(shop, job);
    return tellTaken(services::takeRecipesOfJobs(shop, verb.jobs), streams);
}

} // namespace shimledger::command
