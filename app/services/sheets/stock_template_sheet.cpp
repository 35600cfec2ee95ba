// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheets/stock_template_sheet.h"

#include "app/services/sheets/sheet_writer.h"

#include "inventory/part_kinds.h"

#include <array>

namespace shimledger::services {

namespace {

struct TemplateColumn {
    const char* heading;
    const char* example;
    double width;
    bool whole = false; ///< whole numbers only
};

// Each heading is one of sheet_import/sheet_fields.cpp.
constexpr std::array<TemplateColumn, 13> columns{{{"Kind", "shim", 11},
                                                  {"OD mm", "24", 8},
                                                  {"ID mm", "6", 8},
                                                  {"Thickness mm", "0.10", 13},
                                                  {"Section mm", "", 11},
                                                  {"Length mm", "", 10},
                                                  {"Condition", "new", 10},
                                                  {"Bin", "A01", 8},
                                                  {"Cabinet", "A", 9},
                                                  {"Quantity", "16", 9, true},
                                                  {"Reorder point", "8", 13, true},
                                                  {"Description", "", 26},
                                                  {"Note", "", 26}}};
constexpr int kind_column = 0, condition_column = 6;
constexpr int help_row = 1, example_row = 3, heading_row = 4, lines = 500;

} // namespace

void writeStockTemplate(inventory::UtcTime made, const inventory::OutputTarget& target, PaperSize paper) {
    SheetWriter writer(target, "stock template", "Drawers to fill in", made, paper);
    std::vector<double> widths;
    std::vector<std::string> headings;
    for (const TemplateColumn& column : columns) {
        widths.push_back(column.width);
        headings.emplace_back(column.heading);
    }
    writer.addSheet("Drawers", "Drawers to fill in", true, widths);
    writer.putAcross(
        help_row, 0, static_cast<int>(columns.size()) - 1,
        "A line for each part in each drawer, below the headings; the grey line shows how and is not read. "
        "A shim has OD, ID and thickness, a seal or bushing OD, ID and length, an O-ring ID and section. "
        "Leave "
        "empty what does not apply. Then: stock import FILE --preview.",
        Look::note, 3);
    for (std::size_t i = 0; i < columns.size(); ++i)
        writer.put(example_row, static_cast<int>(i), textCell(columns[i].example), Look::note);
    writer.headings(heading_row, headings);
    std::vector<std::string> kinds;
    for (const inventory::PartKindRule& rule : inventory::allPartKinds()) kinds.emplace_back(rule.name);
    writer.choiceOnly(heading_row + 1, heading_row + lines, kind_column, kinds);
    writer.choiceOnly(heading_row + 1, heading_row + lines, condition_column, {"new", "used"});
    for (std::size_t i = 0; i < columns.size(); ++i) {
        if (columns[i].whole)
            writer.wholeNumbersOnly(heading_row + 1, heading_row + lines, static_cast<int>(i));
    }
    writer.finish();
}

} // namespace shimledger::services
