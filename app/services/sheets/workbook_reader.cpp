// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheets/workbook_reader.h"

#include "app/services/sheets/workbook_cells.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>

namespace shimledger::services {

std::string plainNumber(std::string_view text) {
    double value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    constexpr double largest = 1e15;
    if (error != std::errc() || end != text.data() + text.size() || !(std::fabs(value) < largest))
        return std::string(text);
    constexpr double many_digits = 1e5;
    std::string plain = fmt::format("{:.{}f}", value, std::fabs(value) < many_digits ? 9 : 3);
    plain.erase(plain.find_last_not_of('0') + 1);
    if (plain.back() == '.') plain.pop_back();
    return plain == "-0" ? "0" : plain;
}

void spreadMerged(RawSheet& sheet, const std::vector<MergedCells>& merged) {
    std::map<std::int64_t, RawRow*> rows;
    for (RawRow& row : sheet.rows) rows[row.line] = &row;
    for (const MergedCells& area : merged) {
        const auto first = rows.find(area.first_line);
        if (first == rows.end() || area.first_column >= first->second->cells.size()) continue;
        RawCell copy = first->second->cells[area.first_column];
        copy.covered = true;
        for (auto row = std::next(first); row != rows.end() && row->first <= area.last_line; ++row) {
            std::vector<RawCell>& cells = row->second->cells;
            if (cells.size() <= area.first_column) cells.resize(area.first_column + 1);
            if (cells[area.first_column].text.empty()) cells[area.first_column] = copy;
        }
        // Whoever merged a number over several lines meant one number.
        if (area.last_line > area.first_line) first->second->cells[area.first_column].covered = true;
    }
}

void dropEmpty(RawSheet& sheet) {
    const auto blank = [](const RawCell& cell) { return cell.text.empty() && cell.fault.empty(); };
    for (RawRow& row : sheet.rows) {
        while (!row.cells.empty() && blank(row.cells.back())) row.cells.pop_back();
    }
    std::erase_if(sheet.rows, [](const RawRow& row) { return row.cells.empty(); });
}

std::vector<RawSheet> readWorkbook(const std::string& bytes, const std::string& name) {
    const ZipArchive archive(bytes);
    if (!archive.good()) {
        throw InputError(name + " is a workbook that is cut off or damaged: open it in a spreadsheet program "
                                "and save it anew");
    }
    std::vector<RawSheet> sheets;
    if (archive.has("content.xml")) {
        sheets = readOds(archive, name);
    } else if (archive.has("[Content_Types].xml") && !archive.has("xl/workbook.bin")) {
        sheets = readXlsx(archive, name);
    } else {
        throw InputError(name + " is no workbook that can be read here: save it as .xlsx, .ods or CSV");
    }
    for (RawSheet& sheet : sheets) dropEmpty(sheet);
    std::erase_if(sheets, [](const RawSheet& sheet) { return sheet.rows.empty(); });
    return sheets;
}

} // namespace shimledger::services
