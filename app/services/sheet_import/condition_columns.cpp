// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheet_import/condition_columns.h"

#include <set>
#include <sstream>

namespace shimledger::services {

namespace {

/// "Used", "Qty used", "used pcs": the condition, where all other words of the heading are of a quantity.
std::optional<std::string> conditionCounted(const std::string& heading) {
    const std::string words = headingWords(heading).words;
    if (const auto whole = conditionOfWord(words)) return whole;
    std::istringstream parts(words);
    std::optional<std::string> condition;
    std::string others;
    for (std::string word; parts >> word;) {
        const auto says = conditionOfWord(word);
        if (says && !condition)
            condition = says;
        else
            others += (others.empty() ? "" : " ") + word;
    }
    const SheetField* field = fieldOfHeading(others);
    return field != nullptr && field->name == "quantity" ? condition : std::nullopt;
}

} // namespace

std::map<std::size_t, std::string> conditionColumns(const SheetLayout& layout) {
    std::map<std::size_t, std::string> counted;
    std::set<std::string> conditions;
    for (const SheetColumn& column : layout.columns) {
        if (column.field != nullptr || !column.how.empty()) continue;
        const auto condition = conditionCounted(column.heading);
        if (!condition) continue;
        counted[column.place] = *condition;
        conditions.insert(*condition);
    }
    if (counted.size() < 2 || conditions.size() != counted.size()) counted.clear();
    return counted;
}

std::optional<RawSheet> lineForEachCondition(const RawSheet& sheet, SheetLayout& layout) {
    if (layout.has("quantity") || layout.has("condition")) return std::nullopt;
    const std::map<std::size_t, std::string> counted = conditionColumns(layout);
    if (counted.empty()) return std::nullopt;
    std::string headings;
    RawSheet parted{sheet.name, {}, sheet.delimiter};
    const auto first = static_cast<std::ptrdiff_t>(layout.first_row);
    parted.rows.assign(sheet.rows.begin(), sheet.rows.begin() + first);
    for (std::size_t i = layout.first_row; i < sheet.rows.size(); ++i) {
        const RawRow& row = sheet.rows[i];
        bool any = false;
        for (const auto& [place, condition] : counted) {
            if (row.cells.size() > layout.width || place >= row.cells.size()) continue;
            const RawCell& count = row.cells[place];
            if (trimmed(count.text).empty() && count.fault.empty()) continue;
            RawRow line = row;
            line.cells.resize(layout.width);
            line.cells.push_back({condition});
            line.cells.push_back(count);
            parted.rows.push_back(std::move(line));
            any = true;
        }
        if (!any) parted.rows.push_back(row);
    }
    for (SheetColumn& column : layout.columns) {
        const auto one = counted.find(column.place);
        if (one == counted.end()) continue;
        column.how = "counts of " + one->second + " pieces";
        headings += (headings.empty() ? "" : " / ") + column.heading;
    }
    layout.columns.push_back({layout.width, headings, sheetField("condition"), {}, "as the columns say"});
    layout.columns.push_back(
        {layout.width + 1, headings, sheetField("quantity"), {}, "as the columns count"});
    layout.width += 2;
    return parted;
}

} // namespace shimledger::services
