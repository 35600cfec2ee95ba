// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/recipe.h"

#include "inventory/ledger/job_rows.h"
#include "inventory/master/change_keeping.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/transaction.h"

#include <charconv>

namespace shimledger::inventory {

namespace {

constexpr int most_discs = 500;
constexpr std::size_t most_rows = 200;

std::string nameOf(std::string_view recipe) {
    return "recipe " + inQuotes(recipe);
}

/// Words parted by blanks and signs of multiplication.
std::vector<std::string_view> wordsOfRow(std::string_view row) {
    std::vector<std::string_view> words;
    const auto parts = [](char c) { return c == ' ' || c == 'x' || c == 'X' || c == '\t'; };
    for (std::size_t i = 0; i < row.size();) {
        if (parts(row[i])) {
            ++i;
            continue;
        }
        std::size_t end = i;
        while (end < row.size() && !parts(row[end])) ++end;
        words.push_back(row.substr(i, end - i));
        i = end;
    }
    return words;
}

RecipeRow rowOf(std::string_view text, std::size_t number) {
    const std::string who = "row " + std::to_string(number) + " of the stack, " + inQuotes(text) + ", ";
    const std::vector<std::string_view> words = wordsOfRow(text);
    const bool ring = words.size() == 5 && words[3] == "ring";
    if (words.size() != 3 && !ring)
        throw InputError(who + "is not count x OD x thickness in mm, such as 4 x 24.0 x 0.10");
    RecipeRow row;
    const auto [end, error] = std::from_chars(words[0].data(), words[0].data() + words[0].size(), row.count);
    if (error != std::errc() || end != words[0].data() + words[0].size() || row.count < 1 ||
        row.count > most_discs)
        throw InputError(who + "begins with the number of discs: give 1 to " + std::to_string(most_discs));
    try {
        row.od = Length::parseMillimetres(words[1]);
        row.thickness = Length::parseMillimetres(words[2]);
        if (ring) row.ring_id = Length::parseMillimetres(words[4]);
    } catch (const InputError& problem) {
        throw InputError(who + "cannot be read: " + problem.what());
    }
    if (row.od <= Length() || row.thickness <= Length() || (row.ring_id && *row.ring_id <= Length()))
        throw InputError(who + "has a size that is not above 0");
    return row;
}

constexpr const char* select_recipes =
    "SELECT r.name, r.jobs_a_year_thousandths, r.legs, m.code, r.valve, r.clamp_od_um, "
    "r.port_inner_diameter_um, r.port_outer_diameter_um, r.shim_id_um, r.seat_diameter_um, r.preload_um, "
    "r.stack, r.note, r.retired FROM recipes r LEFT JOIN component_models m USING (model_id) ";

Recipe readRecipe(const Query& row) {
    Recipe recipe;
    recipe.name = row.text(0);
    recipe.jobs_a_year = Decimal::fromThousandths(row.integer(1));
    recipe.legs = row.smallInteger(2);
    recipe.model = row.textOrEmpty(3);
    recipe.valve = row.text(4);
    recipe.clamp_od = row.length(5);
    recipe.port_inner_diameter = row.length(6);
    recipe.port_outer_diameter = row.length(7);
    recipe.shim_id = row.length(8);
    recipe.seat_diameter = row.optionalLength(9);
    recipe.preload = row.optionalLength(10);
    recipe.stack = parseRecipeStack(row.text(11));
    recipe.note = row.text(12);
    recipe.retired = row.integer(13) != 0;
    return recipe;
}

std::optional<std::int64_t> modelOf(ShopConnection& connection, const Recipe& recipe) {
    if (recipe.model.empty()) return std::nullopt;
    return modelId(connection, recipe.model);
}

} // namespace

std::string recipeStackText(const std::vector<RecipeRow>& rows) {
    std::string text;
    for (const RecipeRow& row : rows) {
        if (!text.empty()) text += "; ";
        text += std::to_string(row.count) + " x " + row.od.text() + " x " + row.thickness.text(2);
        if (row.ring_id) text += " ring " + row.ring_id->text();
    }
    return text;
}

std::vector<RecipeRow> parseRecipeStack(std::string_view text) {
    std::vector<RecipeRow> rows;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find_first_of(";\n"), text.size());
        const std::string_view row = text.substr(0, end);
        if (!wordsOfRow(row).empty()) {
            if (rows.size() == most_rows)
                throw InputError("the stack has more than " + std::to_string(most_rows) + " rows");
            rows.push_back(rowOf(row, rows.size() + 1));
        }
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return rows;
}

void checkRecipe(const Recipe& recipe) {
    checkCode(recipe.name, "recipe's name", "recipe");
    checkFreeText(recipe.note, "note", "note");
    const std::string who = nameOf(recipe.name);
    JobValve valve{recipe.valve.empty() ? std::string("valve") : recipe.valve,
                   recipe.clamp_od,
                   recipe.port_inner_diameter,
                   recipe.port_outer_diameter,
                   recipe.shim_id,
                   recipe.seat_diameter,
                   recipe.preload};
    checkValve(who, valve);
    constexpr std::int64_t most_jobs = 100'000'000; // thousandths
    if (recipe.jobs_a_year.thousandths() < 0 || recipe.jobs_a_year.thousandths() > most_jobs)
        throw FieldError("jobs_a_year",
                         who + " has " + recipe.jobs_a_year.text() + " jobs a year: give 0 to 100000");
    if (recipe.legs < 1 || recipe.legs > 4)
        throw FieldError("legs", who + " has " + std::to_string(recipe.legs) + " legs: give 1 to 4");
    if (recipe.stack.empty())
        throw FieldError("stack", who + " has no stack: give its rows, such as 4 x 24.0 x 0.10; 1 x 18.0 x "
                                        "0.15");
}

void RecipeList::add(const Recipe& recipe) {
    checkRecipe(recipe);
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    if (const auto there = find(recipe.name))
        throw FieldError("recipe", nameOf(recipe.name) + " is there already" + orBringBack(there->retired));
    Query(connection,
          "INSERT INTO recipes (name, jobs_a_year_thousandths, legs, model_id, valve, clamp_od_um, "
          "port_inner_diameter_um, port_outer_diameter_um, shim_id_um, seat_diameter_um, preload_um, stack, "
          "note, retired) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14)",
          recipe.name, recipe.jobs_a_year.thousandths(), recipe.legs, modelOf(connection, recipe),
          recipe.valve, recipe.clamp_od, recipe.port_inner_diameter, recipe.port_outer_diameter,
          recipe.shim_id, recipe.seat_diameter, recipe.preload, recipeStackText(recipe.stack), recipe.note,
          recipe.retired ? 1 : 0)
        .run();
    transaction.commit();
}

std::vector<MasterChange> RecipeList::update(const Recipe& recipe, const std::optional<Recipe>& seen) {
    checkRecipe(recipe);
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t id = recipeId(connection, recipe.name);
    const Recipe before = get(recipe.name);
    mustBeAsSeen(nameOf(recipe.name), before, seen);
    MasterSubject about;
    about.kind = MasterKind::recipe;
    about.recipe = recipe.name;
    std::vector<MasterChange> changes = differences(about, before, recipe);
    if (changes.empty()) return changes;
    Query(connection,
          "UPDATE recipes SET jobs_a_year_thousandths = ?2, legs = ?3, model_id = ?4, valve = ?5, "
          "clamp_od_um = ?6, port_inner_diameter_um = ?7, port_outer_diameter_um = ?8, shim_id_um = ?9, "
          "seat_diameter_um = ?10, preload_um = ?11, stack = ?12, note = ?13, retired = ?14 "
          "WHERE recipe_id = ?1",
          id, recipe.jobs_a_year.thousandths(), recipe.legs, modelOf(connection, recipe), recipe.valve,
          recipe.clamp_od, recipe.port_inner_diameter, recipe.port_outer_diameter, recipe.shim_id,
          recipe.seat_diameter, recipe.preload, recipeStackText(recipe.stack), recipe.note,
          recipe.retired ? 1 : 0)
        .run();
    keepChanges(m_shop, changes);
    transaction.commit();
    return changes;
}

MasterChange RecipeList::setRetired(std::string_view name, bool retired) {
    WriteTransaction transaction(m_shop.connection());
    MasterChange change = update(markedRetired(get(name), retired, nameOf(name))).front();
    transaction.commit();
    return change;
}

std::optional<Recipe> RecipeList::find(std::string_view name) const {
    static const std::string sql = std::string(select_recipes) + "WHERE r.name = ?1";
    Query query(m_shop.connection(), sql, name);
    if (!query.next()) return std::nullopt;
    return readRecipe(query);
}

Recipe RecipeList::get(std::string_view name) const {
    static_cast<void>(recipeId(m_shop.connection(), name)); // says which one is missing
    return *find(name);
}

std::vector<Recipe> RecipeList::list(Retired retired) const {
    static const std::string sql = std::string(select_recipes) + "WHERE r.retired <= ?1 ORDER BY r.name";
    std::vector<Recipe> recipes;
    Query query(m_shop.connection(), sql, retired == Retired::included ? 1 : 0);
    while (query.next()) recipes.push_back(readRecipe(query));
    return recipes;
}

} // namespace shimledger::inventory
