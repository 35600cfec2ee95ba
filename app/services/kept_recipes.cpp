// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/kept_recipes.h"

#include "app/services/kit_demand.h"
#include "app/services/recipe_list.h"
#include "app/services/stock_to_request.h"
#include "inventory/component_model.h"
#include "inventory/job_book.h"
#include "planner/stack/stack_text.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace shimledger::services {

namespace {

using inventory::Recipe;

inventory::Decimal jobsAYear(double jobs) {
    constexpr double thousand = 1000;
    return inventory::Decimal::fromThousandths(std::llround(jobs * thousand));
}

std::vector<inventory::RecipeRow> recipeRows(const std::string& name, const planner::StackSpec& stack) {
    std::vector<inventory::RecipeRow> rows;
    for (const planner::DiscRow& row : stack.rows()) {
        if (row.material != planner::Material())
            throw InputError("recipe '" + name.substr(0, 60) +
                             "' has discs of another steel than shims are of, which is not kept");
        rows.push_back({row.count, row.od, row.thickness, row.ring_id});
    }
    return rows;
}

void takeValve(Recipe& recipe, const planner::ValveGeometry& valve) {
    recipe.clamp_od = valve.clamp_od;
    recipe.port_inner_diameter = valve.port_inner_diameter;
    recipe.port_outer_diameter = valve.port_outer_diameter;
    recipe.shim_id = valve.shim_id;
    recipe.seat_diameter = valve.seat_diameter;
    if (valve.preload > Length()) recipe.preload = valve.preload;
}

/// Where a model is named and no size is given, its valve's are meant.
void takeSizesOfModel(inventory::ShopFile& shop, Recipe& recipe) {
    const bool given = recipe.clamp_od > Length() || recipe.port_inner_diameter > Length() ||
                       recipe.port_outer_diameter > Length() || recipe.shim_id > Length();
    if (given || recipe.model.empty()) return;
    const inventory::JobValve valve = valveOfModel(shop, recipe.model, recipe.valve);
    recipe.valve = valve.name;
    recipe.clamp_od = valve.clamp_od;
    recipe.port_inner_diameter = valve.port_inner_diameter;
    recipe.port_outer_diameter = valve.port_outer_diameter;
    recipe.shim_id = valve.shim_id;
    recipe.seat_diameter = valve.seat_diameter;
    recipe.preload = valve.preload;
}

Recipe recipeOfLine(const ListedRecipe& line) {
    Recipe recipe;
    recipe.name = line.wanted.name;
    recipe.jobs_a_year = jobsAYear(line.wanted.jobs_a_year);
    recipe.legs = line.wanted.legs;
    recipe.model = line.model;
    recipe.valve = line.valve;
    takeValve(recipe, line.wanted.stack.valve());
    recipe.stack = recipeRows(recipe.name, line.wanted.stack);
    recipe.note = line.note;
    recipe.retired = line.retired;
    return recipe;
}

/// One that was asked for, with the jobs that asked, the latest last.
struct AskedStack {
    planner::StackSpec stack;
    std::vector<inventory::Job> jobs;
};

std::vector<AskedStack> askedStacks(inventory::ShopFile& shop, const std::vector<std::string>& codes,
                                    RecipesTaken& taken) {
    const inventory::JobBook book(shop);
    std::vector<inventory::Job> jobs;
    if (codes.empty()) {
        constexpr int days_known = 3 * 365;
        const inventory::CalendarDate since = shop.now().date().plusDays(-days_known);
        for (const inventory::Job& job : book.list()) {
            if (job.status == inventory::JobStatus::closed && job.opened >= since) jobs.push_back(job);
        }
        if (jobs.empty())
            throw InputError("no job was closed in the last three years, so none tells a recipe");
    } else {
        for (const std::string& code : codes) jobs.push_back(book.get(code));
    }
    std::stable_sort(jobs.begin(), jobs.end(), [](const auto& a, const auto& b) {
        return std::pair(a.opened, a.code) < std::pair(b.opened, b.code);
    });
    std::vector<AskedStack> asked;
    for (const inventory::Job& job : jobs) {
        const auto target = book.stack(job.code, inventory::StackRole::target);
        try {
            if (!target || target->rows.empty()) throw InputError("it has no target stack");
            const planner::StackSpec stack = plannerStack(job, target->rows);
            const auto known = std::find_if(asked.begin(), asked.end(), [&](const AskedStack& one) {
                return one.stack == stack && one.jobs.front().legs == job.legs;
            });
            if (known == asked.end())
                asked.push_back({stack, {job}});
            else
                known->jobs.push_back(job);
        } catch (const InputError& error) {
            if (!codes.empty()) throw InputError("job " + job.code + " makes no recipe: " + error.what());
            taken.notes.push_back("job " + job.code + " makes no recipe: " + error.what());
        }
    }
    return asked;
}

std::string noteOf(const AskedStack& asked) {
    constexpr std::size_t most_named = 5;
    std::string note = "asked for by ";
    for (std::size_t i = 0; i < asked.jobs.size() && i < most_named; ++i)
        note += (i > 0 ? ", " : "") + asked.jobs[asked.jobs.size() - 1 - i].code;
    if (asked.jobs.size() > most_named)
        note += " and " + std::to_string(asked.jobs.size() - most_named) + " more";
    return note;
}

} // namespace

inventory::JobValve valveOfModel(inventory::ShopFile& shop, const std::string& model,
                                 const std::string& valve) {
    std::vector<inventory::JobValve> valves = inventory::ComponentModels(shop).get(model).valves;
    if (!valve.empty()) std::erase_if(valves, [&](const auto& one) { return one.name != valve; });
    if (valves.size() == 1) return valves.front();
    if (!valves.empty()) throw InputError("model '" + model + "' has several valves: say which one it is");
    throw InputError("model '" + model + "' tells no sizes of " +
                     (valve.empty() ? std::string("a valve") : "a valve '" + valve + "'") +
                     ": give the recipe its clamp, ports and bore");
}

planner::WantedStack wantedOf(const Recipe& recipe) {
    planner::ValveGeometry valve{
        recipe.clamp_od, recipe.port_inner_diameter, recipe.port_outer_diameter,
        recipe.shim_id,  recipe.seat_diameter,       recipe.preload.value_or(Length())};
    std::vector<planner::DiscRow> rows;
    for (const inventory::RecipeRow& row : recipe.stack)
        rows.push_back({row.count, row.od, row.thickness, row.ring_id, {}});
    try {
        return {recipe.name, planner::StackSpec(valve, std::move(rows)), recipe.legs,
                recipe.jobs_a_year.number(), 0};
    } catch (const InputError& error) {
        throw InputError("recipe '" + recipe.name.substr(0, 60) +
                         "' is no stack that can exist: " + error.what());
    }
}

void addRecipe(inventory::ShopFile& shop, Recipe recipe) {
    shop.atomically([&] {
        takeSizesOfModel(shop, recipe);
        inventory::checkRecipe(recipe);
        static_cast<void>(wantedOf(recipe));
        inventory::RecipeList(shop).add(recipe);
    });
}

std::vector<inventory::MasterChange> updateRecipe(inventory::ShopFile& shop, const Recipe& recipe,
                                                  const std::optional<Recipe>& seen) {
    inventory::checkRecipe(recipe);
    static_cast<void>(wantedOf(recipe));
    return inventory::RecipeList(shop).update(recipe, seen);
}

RecipesTaken takeRecipes(inventory::ShopFile& shop, const std::string& text, bool change) {
    RecipesTaken taken;
    const std::vector<ListedRecipe> lines = readRecipeLines(text);
    shop.atomically([&] {
        inventory::RecipeList list(shop);
        std::map<std::string, bool> met;
        for (const ListedRecipe& line : lines) {
            Recipe recipe = recipeOfLine(line);
            if (!met.emplace(recipe.name, true).second)
                throw InputError("the file has the recipe '" + recipe.name.substr(0, 60) +
                                 "' twice: give each a name of its own");
            const auto known = list.find(recipe.name);
            if (!known) {
                list.add(recipe);
                taken.added.push_back(recipe.name);
                continue;
            }
            // What a file has no word of stays.
            if (recipe.model.empty()) recipe.model = known->model;
            if (recipe.valve.empty()) recipe.valve = known->valve;
            if (recipe.note.empty()) recipe.note = known->note;
            recipe.retired = recipe.retired || known->retired;
            if (!change && *known != recipe)
                throw InputError("recipe '" + recipe.name.substr(0, 60) +
                                 "' is there already, and is another one: say --change to change it");
            list.update(recipe).empty() ? taken.same.push_back(recipe.name)
                                        : taken.changed.push_back(recipe.name);
        }
    });
    return taken;
}

RecipesTaken takeRecipesOfJobs(inventory::ShopFile& shop, const std::vector<std::string>& jobs) {
    RecipesTaken taken;
    shop.atomically([&] {
        const inventory::CalendarDate today = shop.now().date();
        constexpr int half_a_year = 182, window = 28;
        const KitDemandBook demand = kitDemandOf(shop, {today, today.plusDays(half_a_year)}, window);
        inventory::RecipeList list(shop);
        std::vector<std::pair<std::string, planner::WantedStack>> kept;
        for (const Recipe& recipe : list.list(inventory::Retired::included)) {
            try {
                kept.emplace_back(recipe.name, wantedOf(recipe));
            } catch (const InputError&) {
                continue; // it came in by CSV; the kit tells of it
            }
        }
        for (const AskedStack& asked : askedStacks(shop, jobs, taken)) {
            const inventory::Job& job = asked.jobs.back();
            const auto same = [&](const planner::WantedStack& one) {
                return one.legs == job.legs && one.stack == asked.stack;
            };
            const auto known =
                std::find_if(kept.begin(), kept.end(), [&](const auto& one) { return same(one.second); });
            if (known != kept.end()) {
                taken.same.push_back(known->first);
                continue;
            }
            Recipe recipe;
            recipe.name = "as in " + job.code;
            for (int next = 2; list.find(recipe.name); ++next)
                recipe.name = fmt::format("as in {} ({})", job.code, next);
            const auto counted = std::find_if(demand.wanted.begin(), demand.wanted.end(), same);
            recipe.jobs_a_year =
                jobsAYear(counted == demand.wanted.end() ? 0 : std::round(counted->jobs_a_year * 100) / 100);
            recipe.legs = job.legs;
            recipe.model = job.model;
            recipe.valve = job.valve.name;
            takeValve(recipe, asked.stack.valve());
            recipe.stack = recipeRows(recipe.name, asked.stack);
            recipe.note = noteOf(asked);
            list.add(recipe);
            taken.added.push_back(recipe.name);
        }
    });
    return taken;
}

} // namespace shimledger::services
