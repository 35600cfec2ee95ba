// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheets/bin_label_sheet.h"

#include "app/services/sheets/png_image.h"
#include "app/services/sheets/sheet_writer.h"

namespace shimledger::services {

namespace {

constexpr int labels_across = 3;
constexpr int columns_per_label = 3; // mark, text, gap
constexpr int rows_per_label = 3;    // code, contents, gap
constexpr int first_row = 2;
constexpr double code_points = 26;
constexpr double contents_points = 66; // four lines
constexpr double gap_points = 8;
constexpr double mark_mm = 20;
// Each page is a sheet of its own, so that no page break goes through a label.
constexpr int rows_on_a4 = 8;
constexpr int rows_on_letter = 7;

std::string contentsText(const BinLabel& label) {
    std::string text;
    constexpr std::size_t letters_a_line = 22, lines = 4;
    for (const std::string& what : contentsWithin(label, letters_a_line, lines))
        text += (text.empty() ? "" : "\n") + what;
    return text;
}

void writeLabel(SheetWriter& writer, const BinLabel& label, int row, int column) {
    if (column == 0) {
        writer.rowHeight(row, code_points);
        writer.rowHeight(row + 1, contents_points);
        writer.rowHeight(row + 2, gap_points);
    }
    writer.putDown(column, row, row + 1, Look::tick);
    writer.putImage(row, column, markImage(label.mark), mark_mm);
    writer.put(row, column + 1, textCell(label.bin), Look::labelCode);
    writer.put(row + 1, column + 1, textCell(contentsText(label)), Look::labelText);
}

} // namespace

void writeBinLabelSheet(const std::vector<BinLabel>& labels, inventory::UtcTime made,
                        const inventory::OutputTarget& target, PaperSize paper) {
    SheetWriter writer(target, "label sheet", "Bin labels", made, paper);
    std::vector<double> widths;
    for (int i = 0; i < labels_across; ++i) widths.insert(widths.end(), {11, 21.5, 1.5});
    const int on_page = labels_across * (paper == PaperSize::a4 ? rows_on_a4 : rows_on_letter);
    for (std::size_t i = 0; i < labels.size(); ++i) {
        const int place = static_cast<int>(i) % on_page;
        if (place == 0) writer.addSheet("Bin labels", "Bin labels", false, widths);
        writeLabel(writer, labels[i], first_row + place / labels_across * rows_per_label,
                   place % labels_across * columns_per_label);
    }
    writer.finish();
}

} // namespace shimledger::services
