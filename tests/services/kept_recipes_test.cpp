// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/kept_recipes.h"
#include "app/services/kit_plan.h"
#include "app/services/own_data.h"
#include "app/services/recipe_list.h"
#include "inventory/csv_export.h"
#include "tests/services/small_shop.h"

#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;

namespace {

const std::string recipes_csv =
    "name,jobs_a_year,legs,clamp_od_mm,port_inner_diameter_mm,port_outer_diameter_mm,shim_id_mm,stack,note\n"
    "trail,30,2,10,13,20,6,4 x 24 x 0.10; 1 x 18 x 0.15; 1 x 10 x 0.30,\n"
    "race,20.5,2,10,13,20,6,6 x 24 x 0.10; 1 x 18 x 0.15; 1 x 10 x 0.30,from the track\n";

KitOptions quick() {
    KitOptions options;
    options.budget = 4000;
    options.curve = false;
    options.orders = false;
    return options;
}

std::string plan(const KitResult& kit) {
    std::string text;
    for (const KitSize& line : kit.lines)
        text += discSizeText(line.size) + " " + std::to_string(line.keep) + "\n";
    return text + std::to_string(kit.plan.fresh.mean) + " " + std::to_string(kit.wanted);
}

} // namespace

TEST_CASE("the kit counts with kept recipes as it does with those of a file, and no job is counted twice") {
    SmallShop from_file, kept;
    KitOptions options = quick();
    options.recipes_alone = true;
    const RecipesTaken taken = takeRecipes(kept.shop, recipes_csv, false);
    CHECK(taken.added == std::vector<std::string>{"trail", "race"});
    KitOptions with_file = options;
    with_file.recipes = readRecipes(recipes_csv);
    std::reverse(with_file.recipes.begin(), with_file.recipes.end()); // kept ones are by name
    const std::string by_file = plan(kitPlan(from_file.shop, with_file));
    CHECK(plan(kitPlan(kept.shop, options)) == by_file);
    options.kept_recipes = false;
    options.recipes_alone = false;
    const KitResult without = kitPlan(kept.shop, options);
    CHECK(without.kept_recipes == 0);
    options.kept_recipes = true;
    const KitResult with = kitPlan(kept.shop, options);
    CHECK(with.kept_recipes == 2);
    CHECK(with.wanted == without.wanted + 2);
    // A recipe of what J1 asks for stands in the place of the jobs that do.
    REQUIRE(takeRecipesOfJobs(kept.shop, {"J1"}).added.size() == 1);
    const KitResult once = kitPlan(kept.shop, options);
    CHECK(once.kept_recipes == 3);
    CHECK(once.wanted == with.wanted);
    inventory::RecipeList(kept.shop).retire("race");
    CHECK(kitPlan(kept.shop, options).wanted == with.wanted - 1);
}

TEST_CASE("recipes of a file come in all or none, and change what is there only where that is said") {
    SmallShop small;
    inventory::RecipeList recipes(small.shop);
    static_cast<void>(takeRecipes(small.shop, recipes_csv, false));
    CHECK(takeRecipes(small.shop, recipes_csv, false).same.size() == 2);
    std::string other = recipes_csv;
    other.replace(other.find("20.5"), 4, "25");
    other += "third,1,2,10,13,20,6,3 x 24 x 0.10,\n";
    CHECK_THROWS_WITH(takeRecipes(small.shop, other, false), Contains("'race' is there already"));
    CHECK_FALSE(recipes.find("third"));
    const RecipesTaken taken = takeRecipes(small.shop, other, true);
    CHECK(taken.changed == std::vector<std::string>{"race"});
    CHECK(taken.added == std::vector<std::string>{"third"});
    CHECK(recipes.get("race").note == "from the track");
    CHECK(inventory::MasterHistory(small.shop).ofRecipe("race").size() == 1);
    const auto refused = [&](const std::string& line) {
        const std::string text = recipes_csv.substr(0, recipes_csv.find('\n') + 1) + line;
        try {
            static_cast<void>(takeRecipes(small.shop, text, true));
        } catch (const InputError& error) {
            return std::string(error.what());
        }
        return std::string();
    };
    CHECK_THAT(refused("a,1,2,10,13,20,6,3 x 24 x 0.10,\na,2,2,10,13,20,6,3 x 24 x 0.10,\n"),
               Contains("twice"));
    CHECK_THAT(refused("a,1,2,10,13,20,6,3 x 9 x 0.10,\n"), Contains("stack")); // smaller than its clamp
    CHECK_THAT(refused("a,x,2,10,13,20,6,3 x 24 x 0.10,\n"), Contains("jobs_a_year"));
    CHECK(recipes.list().size() == 3);
    // What goes out of the shop is read as a file of recipes too.
    inventory::exportShopFolder(small.shop, small.folder / "out");
    CHECK(takeRecipes(small.shop, readBytes(small.folder / "out/recipes.csv"), false).same.size() == 3);
}

TEST_CASE("jobs make recipes of what they asked for, once for each stack, with how often it comes") {
    SmallShop small;
    CHECK_THROWS_WITH(takeRecipesOfJobs(small.shop, {}), Contains("no job was closed"));
    inventory::JobBook(small.shop).close("J1");
    inventory::JobBook(small.shop).close("J2");
    const RecipesTaken taken = takeRecipesOfJobs(small.shop, {});
    REQUIRE(taken.added == std::vector<std::string>{"as in J2"});
    const inventory::Recipe recipe = inventory::RecipeList(small.shop).get("as in J2");
    const inventory::Job job = inventory::JobBook(small.shop).get("J2");
    CHECK(recipe.model == job.model);
    CHECK(recipe.legs == job.legs);
    CHECK(recipe.clamp_od == job.valve.clamp_od);
    const auto target = inventory::JobBook(small.shop).stack("J2", inventory::StackRole::target);
    REQUIRE(recipe.stack.size() == target->rows.size());
    CHECK(recipe.stack.front().count == target->rows.front().count);
    CHECK(recipe.jobs_a_year.number() ==
          Approx(8).margin(0.01)); // two in the least span that is taken, a quarter
    CHECK_THAT(recipe.note, Contains("J1"));
    CHECK(takeRecipesOfJobs(small.shop, {"J1"}).same == std::vector<std::string>{"as in J2"});
    CHECK_THROWS_WITH(takeRecipesOfJobs(small.shop, {"J9"}), Contains("J9"));
}

TEST_CASE("the shop's own data has recipes: made, changed and retired at a form, with the model's sizes") {
    SmallShop small;
    const std::vector<OwnDataKind> kinds = ownDataKinds();
    const auto recipes = std::find_if(kinds.begin(), kinds.end(),
                                      [](const OwnDataKind& kind) { return kind.name == "recipes"; });
    REQUIRE(recipes != kinds.end());
    OwnDataRecord typed = recipes->blank;
    const auto set = [&](const std::string& name, const std::string& text) {
        for (std::size_t i = 0; i < recipes->fields.size(); ++i) {
            if (recipes->fields[i].name == name) typed.texts[i] = text;
        }
    };
    set("recipe", "trail");
    CHECK_THROWS_AS(recipes->add(small.shop, typed), InputError);
    set("jobs_a_year", "6,5");
    set("stack", "4 x 24 x 0.10; 1 x 18 x 0.15");
    CHECK_THROWS_AS(recipes->add(small.shop, typed), InputError); // no sizes of its valve
    const inventory::JobValve valve = inventory::JobBook(small.shop).get("J1").valve;
    inventory::ComponentModels models(small.shop);
    const std::string model = inventory::JobBook(small.shop).get("J1").model;
    if (models.get(model).valves.empty()) models.addValve(model, valve);
    set("model", model);
    set("valve", valve.name);
    static_cast<void>(recipes->add(small.shop, typed));
    const inventory::Recipe made = inventory::RecipeList(small.shop).get("trail");
    CHECK(made.jobs_a_year.text() == "6.5");
    CHECK(made.clamp_od == valve.clamp_od);
    const OwnDataRecord seen = recipes->list(small.shop).front();
    typed = seen;
    set("jobs_a_year", "7");
    CHECK(recipes->change(small.shop, seen, typed).size() == 1);
    CHECK_THROWS_WITH(recipes->change(small.shop, seen, typed), Contains("somebody else"));
    CHECK(recipes->history(small.shop, typed).size() == 1);
    set("stack", "4 x 9 x 0.10");
    CHECK_THROWS_WITH(recipes->change(small.shop, recipes->list(small.shop).front(), typed),
                      Contains("can exist"));
    CHECK_THAT(recipes->retire(small.shop, recipes->list(small.shop).front(), true), Contains("was retired"));
}
