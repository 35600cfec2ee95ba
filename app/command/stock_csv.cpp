// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/stock_csv.h"

#include "app/services/sheet_import/sheet_cells.h"
#include "app/services/sheet_import/understood_sheet.h"
#include "planner/units/input_error.h"

#include <charconv>

namespace shimledger::command {

namespace {

using services::SheetCells;

std::int64_t wholeOf(const std::string& text) {
    std::int64_t value = 0;
    std::from_chars(text.data(), text.data() + text.size(), value);
    return value;
}

/// A size that a disc must have.
Length sizeOf(SheetCells& cells, const char* field) {
    const auto length = cells.length(field);
    if (length && *length > Length()) return *length;
    if (!length && cells.filled(field)) return Length(); // told already
    cells.problem(field, length ? "the size must be larger than 0" : "is empty: a shim has three sizes");
    return Length();
}

planner::StockItem itemOf(SheetCells& cells, std::int64_t place) {
    constexpr std::int64_t most = 1'000'000'000;
    planner::StockItem item;
    item.bin = cells.text("bin");
    item.part = cells.text("part");
    item.walking_order = place;
    item.od = sizeOf(cells, "od_mm");
    item.id = sizeOf(cells, "id_mm");
    item.thickness = sizeOf(cells, "thickness_mm");
    if (cells.filled("measured_mm")) item.measured = sizeOf(cells, "measured_mm");
    if (const auto spread = cells.decimal("reading_spread_mm")) {
        double value = 0;
        std::from_chars(spread->data(), spread->data() + spread->size(), value);
        if (value >= 0 && value < 1) {
            item.reading_spread_mm = value;
        } else {
            cells.problem("reading_spread_mm",
                          "'" + *spread +
                              "' is no standard deviation of readings in millimetres, 0 or more "
                              "and below 1");
        }
    }
    const auto condition = cells.condition("condition");
    if (!condition && !cells.filled("condition")) cells.problem("condition", "is empty: write new or used");
    item.used = condition == "used";
    // An exported file says beside the quantity what of it is not promised to a job.
    const char* quantity = cells.filled("available") ? "available" : "quantity";
    const auto pieces = cells.whole(quantity);
    if (pieces) item.available = wholeOf(*pieces);
    if ((pieces && (item.available < 0 || item.available > most)) || (!pieces && !cells.filled(quantity)))
        cells.problem(quantity, "'" + pieces.value_or("") + "' is no whole number of pieces, 0 or more");
    return item;
}

} // namespace

std::vector<planner::StockItem> readStockCsv(const std::string& path) {
    const std::vector<services::RawSheet> sheets = services::readRawSheets(path);
    if (sheets.size() != 1)
        throw InputError(path + " has " + std::to_string(sheets.size()) +
                         " sheets: give one list of drawers");
    const services::SheetAnswers answers;
    const auto layout = services::layoutOf(sheets[0], path, answers);
    for (const char* needed : {"kind", "od_mm", "id_mm", "thickness_mm", "condition", "bin", "quantity"}) {
        if (!layout || !layout->has(needed))
            throw InputError(path + ": the column '" + needed + "' is missing");
    }
    SheetCells cells(sheets[0], *layout, answers, path);
    std::vector<planner::StockItem> items;
    for (std::size_t place = layout->first_row; place < sheets[0].rows.size(); ++place) {
        const services::RawRow& row = sheets[0].rows[place];
        if (services::lineKind(sheets[0], *layout, row) != services::LineKind::data) continue;
        cells.at(row);
        cells.begin();
        if (!row.cells[0].fault.empty()) {
            cells.problem({}, row.cells[0].fault);
        } else if (services::tooWide(sheets[0], *layout, row)) {
            cells.problem({}, services::too_wide_text);
        } else if (!cells.filled("kind")) {
            cells.problem("kind", "is empty: what kind of part is it?");
        } else if (cells.kind("kind") == "shim") { // other kinds are passed over
            items.push_back(itemOf(cells, static_cast<std::int64_t>(items.size())));
        }
    }
    if (!cells.problems.empty()) {
        std::string faults;
        for (const std::string& sentence : services::problemSentences(cells.problems))
            faults += (faults.empty() ? "" : "\n") + sentence;
        throw InputError(faults);
    }
    return items;
}

} // namespace shimledger::command
