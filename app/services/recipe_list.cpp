// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/recipe_list.h"

#include "inventory/csv_reader.h"
#include "inventory/master_fields.h"
#include "planner/kit/recipe_json.h"
#include "planner/stack/stack_text.h"
#include "planner/units/input_error.h"
#include "planner/units/near_name.h"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <map>
#include <optional>
#include <sstream>

namespace shimledger::services {

namespace {

const std::vector<std::string>& columnNames() {
    static const std::vector<std::string> names{"name",
                                                "jobs_a_year",
                                                "legs",
                                                "clamp_od_mm",
                                                "port_inner_diameter_mm",
                                                "port_outer_diameter_mm",
                                                "shim_id_mm",
                                                "seat_diameter_mm",
                                                "preload_mm",
                                                "stack",
                                                "model",
                                                "valve",
                                                "note",
                                                "retired"};
    return names;
}

using Columns = std::map<std::string, std::size_t>;

Columns columnsOf(const inventory::CsvRecord& head) {
    Columns columns;
    for (std::size_t i = 0; i < head.cells.size(); ++i) {
        const std::string name = head.cells[i] == "recipe" ? "name" : head.cells[i];
        const auto& known = columnNames();
        if (std::find(known.begin(), known.end(), name) == known.end())
            throw InputError(
                fmt::format("recipes have no column '{}'{}", name.substr(0, 40),
                            nearNameText(name, known, fmt::format("they have {}", fmt::join(known, ", ")))));
        if (!columns.emplace(name, i).second)
            throw InputError(fmt::format("recipes have the column '{}' twice: leave one of them away", name));
    }
    for (const char* needed : {"jobs_a_year", "clamp_od_mm", "port_inner_diameter_mm",
                               "port_outer_diameter_mm", "shim_id_mm", "stack"}) {
        if (!columns.contains(needed)) throw InputError(fmt::format("recipes lack the column '{}'", needed));
    }
    return columns;
}

/// One line of the file.
class Line {
public:
    Line(const inventory::CsvRecord& record, const Columns& columns) : m_record(record), m_columns(columns) {}

    [[nodiscard]] std::string text(const char* column) const {
        const auto place = m_columns.find(column);
        return place == m_columns.end() || place->second >= m_record.cells.size()
                   ? std::string()
                   : m_record.cells[place->second];
    }
    [[nodiscard]] std::string where(const char* column) const {
        return fmt::format("line {}: {}", m_record.line, column);
    }
    [[nodiscard]] Length length(const char* column) const {
        try {
            return Length::parseMillimetres(text(column));
        } catch (const InputError& error) {
            throw InputError(where(column) + ": " + error.what());
        }
    }
    [[nodiscard]] double number(const char* column) const {
        const std::string typed = text(column);
        double value = 0;
        const auto [end, error] = std::from_chars(typed.data(), typed.data() + typed.size(), value);
        if (error != std::errc() || end != typed.data() + typed.size() || !std::isfinite(value))
            throw InputError(where(column) + " must be a number with a decimal point, such as 6");
        return value;
    }

private:
    const inventory::CsvRecord& m_record;
    const Columns& m_columns;
};

ListedRecipe recipeOf(const Line& line, std::int64_t number) {
    const double jobs = line.number("jobs_a_year");
    if (!(jobs >= 0 && jobs <= 100'000)) throw InputError(line.where("jobs_a_year") + " must be 0 to 100000");
    int legs = 2;
    if (!line.text("legs").empty()) {
        const double given = line.number("legs");
        if (given != std::floor(given) || given < 1 || given > 4)
            throw InputError(line.where("legs") + " must be 1 to 4");
        legs = static_cast<int>(given);
    }
    planner::ValveGeometry valve{line.length("clamp_od_mm"),
                                 line.length("port_inner_diameter_mm"),
                                 line.length("port_outer_diameter_mm"),
                                 line.length("shim_id_mm"),
                                 {},
                                 {}};
    if (!line.text("seat_diameter_mm").empty()) valve.seat_diameter = line.length("seat_diameter_mm");
    if (!line.text("preload_mm").empty()) valve.preload = line.length("preload_mm");
    const std::string name = line.text("name").empty() ? fmt::format("recipe {}", number) : line.text("name");
    bool retired = false;
    try {
        retired = !line.text("retired").empty() && inventory::parseYesNo(line.text("retired"));
    } catch (const InputError& error) {
        throw InputError(line.where("retired") + ": " + error.what());
    }
    try {
        return {{name, planner::StackSpec(valve, planner::parseStackText(line.text("stack"))), legs, jobs, 0},
                line.text("model"),
                line.text("valve"),
                line.text("note"),
                retired};
    } catch (const InputError& error) {
        throw InputError(line.where("stack") + ": " + error.what());
    }
}

} // namespace

std::vector<ListedRecipe> readRecipeLines(const std::string& text) {
    const std::size_t first = text.find_first_not_of(" \t\r\n");
    if (first == std::string::npos) throw InputError("the file of recipes is empty");
    std::vector<ListedRecipe> recipes;
    if (text[first] == '{') {
        for (planner::WantedStack& one : planner::parseRecipeJson(text))
            recipes.push_back({std::move(one), "", "", "", false});
        return recipes;
    }
    std::istringstream in(text);
    inventory::CsvReader reader(in);
    inventory::CsvRecord record;
    std::optional<Columns> columns;
    while (reader.next(record)) {
        if (!record.fault.empty()) throw InputError(fmt::format("line {}: {}", record.line, record.fault));
        if (!columns) {
            columns = columnsOf(record);
            continue;
        }
        recipes.push_back(recipeOf(Line(record, *columns), static_cast<std::int64_t>(recipes.size()) + 1));
    }
    if (recipes.empty()) throw InputError("the file of recipes has no line below its headings");
    return recipes;
}

std::vector<planner::WantedStack> readRecipes(const std::string& text) {
    std::vector<planner::WantedStack> wanted;
    for (ListedRecipe& recipe : readRecipeLines(text)) {
        if (!recipe.retired) wanted.push_back(std::move(recipe.wanted));
    }
    return wanted;
}

} // namespace shimledger::services
