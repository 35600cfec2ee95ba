// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheet_import/sheet_cells.h"
#include "app/services/sheet_import/understood_sheet.h"

#include <algorithm>

namespace shimledger::services {

namespace {

/// A list of numbers in one cell, "0,099 0,101", where the sheet writes decimals with a comma.
std::string listWithPoints(std::string text, DecimalSign sign) {
    const bool numbers = text.find_first_not_of("0123456789., ;") == std::string::npos;
    if (numbers && sign == DecimalSign::comma && text.find('.') == std::string::npos)
        std::replace(text.begin(), text.end(), ',', '.');
    return text;
}

std::string cellOf(SheetCells& cells, const SheetField& field, const std::string& table) {
    switch (field.content) {
    case FieldContent::length: {
        const auto length = cells.length(field.name);
        return length ? length->text(1) : std::string();
    }
    case FieldContent::decimal:
        return cells.decimal(field.name).value_or("");
    case FieldContent::whole:
        return cells.whole(field.name).value_or("");
    case FieldContent::money:
        return cells.money(field.name).value_or("");
    case FieldContent::date:
        return cells.date(field.name).value_or("");
    case FieldContent::moment:
        return cells.raw(field.name).date ? cells.raw(field.name).text : cells.text(field.name);
    case FieldContent::condition:
        return cells.condition(field.name).value_or("");
    case FieldContent::kind:
        if (table == "parts.csv" || table == "stock.csv") return cells.kind(field.name).value_or("");
        return headingWords(cells.text(field.name)).words;
    default:
        return field.name == "readings_mm" ? listWithPoints(cells.text(field.name), cells.sign())
                                           : cells.verbatim(field.name);
    }
}

} // namespace

std::optional<UnderstoodSheet> understandTable(const RawSheet& sheet, const std::string& name,
                                               const inventory::ExchangeTable& table,
                                               const SheetAnswers& answers) {
    const std::optional<SheetLayout> layout = layoutOf(sheet, name, answers, table.columns);
    if (!layout) return std::nullopt;
    for (std::size_t i = 0; i < table.columns.size(); ++i) {
        if (table.needed[i] && !layout->has(table.columns[i])) return std::nullopt;
    }
    UnderstoodSheet result{name, "the table " + table.file, *layout};
    inventory::TableInput input{table.file, {}, name, {}, {}};
    std::vector<const SheetField*> fields;
    for (const std::string& column : table.columns) {
        if (!layout->has(column)) continue;
        input.columns.push_back(column);
        fields.push_back(sheetField(column));
    }
    SheetCells cells(sheet, *layout, answers, name);
    for (std::size_t place = layout->first_row; place < sheet.rows.size(); ++place) {
        const RawRow& row = sheet.rows[place];
        cells.at(row);
        cells.begin();
        const LineKind kind = lineKind(sheet, *layout, row);
        if (kind == LineKind::total || kind == LineKind::other)
            result.lines.emplace_back(row.line, "passed over: " + lineText(row));
        if (kind != LineKind::data) continue;
        if (!row.cells[0].fault.empty() && row.cells.size() == 1) {
            cells.problem({}, row.cells[0].fault);
        } else if (tooWide(sheet, *layout, row)) {
            cells.problem({}, too_wide_text);
        }
        if (!cells.good()) continue;
        inventory::CsvRecord record;
        record.line = row.line;
        for (const SheetField* field : fields) record.cells.push_back(cellOf(cells, *field, table.file));
        input.rows.push_back(std::move(record));
    }
    result.problems = std::move(cells.problems);
    result.tables.push_back(std::move(input));
    return result;
}

} // namespace shimledger::services
