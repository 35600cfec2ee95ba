// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheets/strip_form_sheet.h"

#include "app/services/sheets/sheet_writer.h"

#include <algorithm>

namespace shimledger::services {

namespace {

constexpr int readings_across = 4;
constexpr int least_rows = 26; // as many as fit on one page below the headings
constexpr double row_points = 29;
constexpr double inspection_points = 27;
constexpr int inspection_heading_row = 3;

std::string readingText(const StripLine& line, std::size_t place) {
    const auto& readings = line.row.readings;
    if (place >= readings.size()) return {};
    if (place + 1 < readings_across || readings.size() <= readings_across) return readings[place].text(3);
    std::string rest; // more readings than columns: the last one takes them all
    for (std::size_t i = place; i < readings.size(); ++i)
        rest += (rest.empty() ? "" : " ") + readings[i].text(3);
    return rest;
}

void writeRow(SheetWriter& writer, int row, int number, const StripLine* line) {
    writer.rowHeight(row, row_points);
    writer.put(row, 0, numberCell(number), Look::number);
    writer.put(row, 1, line != nullptr ? numberCell(line->row.count) : blankCell(), Look::number);
    writer.put(row, 2, line != nullptr ? textCell(line->row.od.text()) : blankCell(), Look::text);
    for (int place = 0; place < readings_across; ++place) {
        const std::string reading =
            line != nullptr ? readingText(*line, static_cast<std::size_t>(place)) : std::string();
        writer.put(row, 3 + place, textCell(reading), Look::text);
    }
    int column = 3 + readings_across;
    const bool scrap = line != nullptr && line->row.scrap > 0;
    writer.put(row, column++, scrap ? numberCell(line->row.scrap) : blankCell(), Look::number);
    writer.put(row, column++, textCell(scrap ? line->row.scrap_reason : std::string()), Look::wrapped);
    writer.put(row, column++, textCell(line != nullptr ? line->row.part : std::string()), Look::text);
    writer.put(row, column, textCell(line != nullptr ? line->row.bin : std::string()), Look::text);
}

/// Of one valve "Strip, leg 1"; of several, as names of sheets are short, "Strip 2, leg 1".
std::string sheetName(const StripForm& form, const StripForm::Stack& stack) {
    std::vector<std::string> jobs;
    for (const StripForm::Stack& each : form.stacks)
        if (std::find(jobs.begin(), jobs.end(), each.found.job) == jobs.end()) jobs.push_back(each.found.job);
    const auto place = std::find(jobs.begin(), jobs.end(), stack.found.job) - jobs.begin();
    const std::string number = jobs.size() == 1 ? std::string() : " " + std::to_string(place + 1);
    return "Strip" + number + ", leg " + std::to_string(stack.found.leg);
}

void writeLeg(SheetWriter& writer, const StripForm& form, const StripForm::Stack& stack) {
    const StripView& view = stack.found;
    const std::string leg = stack.valve + ", leg " + std::to_string(view.leg);
    std::vector<double> widths = {5, 7, 8};
    std::vector<std::string> headings = {"No.", "Count", "OD"};
    for (int place = 1; place <= readings_across; ++place) {
        widths.push_back(8);
        headings.push_back("Read " + std::to_string(place));
    }
    widths.insert(widths.end(), {7, 16, 18, 8});
    headings.insert(headings.end(), {"Scrap", "Bent, scored?", "Part", "Bin"});
    const int last_column = static_cast<int>(widths.size()) - 1;
    writer.addSheet(sheetName(form, stack), "Strip " + form.job + ", " + leg, false, widths);
    writer.putAcross(1, 0, last_column,
                     form.component + ", " + stack.valve +
                         " valve. From the piston face (1) to the clamp; OD by caliper, readings by "
                         "micrometer, mm. Equal discs that lie together share a row.",
                     Look::note, 2);
    int heading_row = 2;
    for (const std::string& caution : form.cautionsBeforeOpening())
        heading_row = writer.putText(heading_row, 0, last_column, caution, Look::marked);
    for (const std::string& wish : form.earlier_wishes)
        heading_row = writer.putText(heading_row, 0, last_column, wish, Look::note);
    writer.headings(++heading_row, headings);
    const int rows = std::max(least_rows, static_cast<int>(view.lines.size()));
    for (int i = 0; i < rows; ++i) {
        const bool written = i < static_cast<int>(view.lines.size());
        writeRow(writer, heading_row + 1 + i, i + 1,
                 written ? &view.lines[static_cast<std::size_t>(i)] : nullptr);
    }
    const int row = heading_row + 1 + rows + 1;
    writer.putAcross(row, 0, 2, "Stripped by", Look::wrapped, 2);
    writer.putAcross(row, 3, last_column, "", Look::wrapped, 2);
}

std::string foundText(const InspectionLine& line) {
    if (!line.finding) return {};
    std::string text = line.finding->worn_percent ? std::to_string(*line.finding->worn_percent) + " %" : "";
    const std::string state(inventory::wearStateName(line.finding->state));
    if (!state.empty()) text += (text.empty() ? "" : ", ") + state;
    return text;
}

void writeInspection(SheetWriter& writer, const StripForm& form) {
    const std::vector<double> widths = {6, 30, 7, 12, 14, 26, 24};
    const int last_column = static_cast<int>(widths.size()) - 1;
    writer.addSheet("Inspection", "Inspection " + form.job, true, widths);
    writer.putAcross(1, 0, last_column,
                     form.component + ". Found: of a bushing, per cent of its surface worn through (two "
                                      "thirds is the limit); else good, worn or damaged. Decide: replace, "
                                      "defer with a reason, or keep.",
                     Look::note, 2);
    writer.headings(inspection_heading_row,
                    {"Leg", "What", "Pieces", "Found", "Decision", "Reason, note", "Before"});
    int row = inspection_heading_row + 1;
    for (const InspectionLine& line : form.inspection) {
        writer.rowHeight(row, inspection_points);
        writer.put(row, 0, line.leg == 0 ? blankCell() : numberCell(line.leg), Look::number);
        writer.put(row, 1, textCell(line.what.empty() ? line.place : line.what), Look::wrapped);
        writer.put(row, 2, numberCell(line.quantity), Look::number);
        writer.put(row, 3, textCell(foundText(line)), Look::wrapped);
        writer.put(
            row, 4,
            textCell(line.finding ? inventory::wearDecisionName(line.finding->decision) : std::string_view()),
            Look::wrapped);
        writer.put(row, 5, textCell(line.finding ? line.finding->reason : std::string()), Look::wrapped);
        writer.put(row, 6, textCell(line.trend), Look::wrapped);
        ++row;
    }
    ++row;
    constexpr std::size_t lines_above_cautions = 10; // with more of them the cautions have their own page
    if (form.inspection.size() > lines_above_cautions) writer.breakPagesAt({row});
    writer.putAcross(row++, 0, last_column, "Cautions", Look::heading);
    for (const std::string& caution : form.cautions)
        row = writer.putText(row, 0, last_column, caution, Look::wrapped);
}

} // namespace

void writeStripFormSheet(const StripForm& form, const inventory::OutputTarget& target, PaperSize paper) {
    SheetWriter writer(target, "strip form", "Strip " + form.job, form.made, paper);
    for (const StripForm::Stack& stack : form.stacks) writeLeg(writer, form, stack);
    writeInspection(writer, form);
    writer.finish();
}

} // namespace shimledger::services
