// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheets/count_sheet_sheet.h"

#include "app/services/sheets/sheet_writer.h"

#include "inventory/part_kinds.h"

namespace shimledger::services {

namespace {

constexpr double line_points = 21; // to be written on at the drawers
constexpr int heading_row = 3;
constexpr int laid_aside_column = 7;
constexpr int counted_column = 8;
constexpr int last_column = 9;

} // namespace

void writeCountSheet(const CountSheet& sheet, const inventory::OutputTarget& target, PaperSize paper) {
    const std::string title = sheet.cabinet.empty() ? "Count sheet" : "Count sheet, cabinet " + sheet.cabinet;
    SheetWriter writer(target, "count sheet", title, sheet.made, paper);
    writer.addSheet("Count", title, true, {8, 18, 30, 10, 7, 8, 14, 10, 10, 16});
    writer.putAcross(
        1, 0, last_column,
        "Write what is there, also where it is 0; leave a line empty that was not counted. Of the reserved "
        "ones "
        "those that lie in a job's tray and not in the drawer are written under laid_aside and not counted. "
        "Then save this sheet and read it back: in the window by Stock, Read a filled-in sheet, or with "
        "stock count --in.",
        Look::note, 3);
    // The headings name the columns of the CSV.
    writer.headings(heading_row, {"bin", "part", "what", "condition", "unit", "books", "reserved",
                                  "laid_aside", "counted", "reason"});
    int row = heading_row + 1;
    for (const CountLine& line : sheet.lines) {
        writer.rowHeight(row, line_points);
        writer.put(row, 0, textCell(line.bin), Look::text);
        writer.put(row, 1, textCell(line.part), Look::text);
        writer.put(row, 2, textCell(line.what), Look::text);
        writer.put(row, 3, textCell(inventory::conditionName(line.condition)), Look::text);
        writer.put(row, 4, textCell(line.unit), Look::text);
        writer.put(row, 5, numberCell(line.books), Look::number);
        writer.put(row, 6, textCell(line.reserved), Look::text);
        writer.put(row, laid_aside_column, line.laid_aside > 0 ? numberCell(line.laid_aside) : blankCell(),
                   Look::number);
        writer.put(row, counted_column, line.counted ? numberCell(*line.counted) : blankCell(), Look::number);
        writer.put(row, last_column, textCell(line.reason), Look::text);
        ++row;
    }
    if (!sheet.lines.empty()) {
        writer.wholeNumbersOnly(heading_row + 1, row - 1, laid_aside_column);
        writer.wholeNumbersOnly(heading_row + 1, row - 1, counted_column);
    }
    writer.finish();
}

} // namespace shimledger::services
