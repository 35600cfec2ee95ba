// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheets/pick_list_sheet.h"

#include "app/services/sheets/sheet_writer.h"

#include <algorithm>

namespace shimledger::services {

namespace {

constexpr double line_points = 32; // two lines of text, and room for a thumb

std::string subtitle(const PickList& list, const std::string& valves, int legs) {
    std::string text = list.model_text.empty() ? list.model : list.model_text;
    text += ", " + valves + " valve, " + std::to_string(legs) + (legs == 1 ? " leg" : " legs");
    if (list.due) text += ", due " + list.due->text();
    return text;
}

std::string conditionText(const PickLine& line) {
    std::string text = line.used ? "used" : "new";
    if (line.measured) text += ", reads " + line.measured->text(2);
    return text;
}

void writeLines(SheetWriter& writer, const ComponentPick& pick) {
    const PickList& first = pick.valves.front();
    const bool several = pick.valves.size() > 1;
    // The fewer columns, the less the page is shrunk: it is read at arm's length and ticked with gloves on.
    std::vector<double> widths = {7, 11, 31, 13, 8};
    std::vector<std::string> headings = {"Done", "Bin", "What, part", "Condition", "In all"};
    const auto addColumn = [&](double width, const std::string& heading) {
        widths.push_back(width);
        headings.push_back(heading);
        return static_cast<int>(widths.size()) - 1;
    };
    const int first_leg = static_cast<int>(widths.size());
    for (int leg = 1; leg <= pick.legs(); ++leg) addColumn(8, "Leg " + std::to_string(leg));
    const int valve_column = several ? addColumn(14, "Valve") : 0;
    const int last_column = addColumn(20, "In place of");
    writer.addSheet("Pick list", "Pick list " + first.job, false, widths);
    writer.putAcross(1, 0, last_column, subtitle(first, pick.valveNames(), pick.legs()), Look::note);
    writer.putAcross(2, 0, last_column,
                     "Shims to pull: " + std::to_string(pick.pieces()) +
                         ", in walking order; tick each line when it is in the tray" +
                         (several ? " of its valve." : "."),
                     Look::note);
    writer.headings(4, headings);
    int row = 5;
    for (const ComponentPick::Stop& stop : pick.walk()) {
        const PickLine& line = *stop.line;
        const Look plain = line.replaces.empty() ? Look::wrapped : Look::marked;
        const Look amount = line.unit == "ml" ? Look::millilitres : Look::number;
        writer.rowHeight(row, line_points);
        writer.put(row, 0, blankCell(), Look::tick);
        writer.put(row, 1, textCell(line.bin), Look::labelCode);
        writer.put(row, 2, textCell(line.what + "\n" + line.part), plain);
        writer.put(row, 3, textCell(conditionText(line)), plain);
        writer.put(row, 4, numberCell(line.quantity), amount);
        int column = first_leg;
        for (const std::optional<std::int64_t>& quantity : pick.byLeg(stop))
            writer.put(row, column++, quantity ? numberCell(*quantity) : blankCell(), amount);
        if (several) writer.put(row, valve_column, textCell(pick.purposeOf(stop)), plain);
        writer.put(row, last_column, textCell(line.replaces), plain);
        ++row;
    }
    ++row;
    for (const PickList& valve : pick.valves) {
        for (const std::string& sentence : valve.missing)
            row = writer.putText(row, 0, last_column, "Missing: " + sentence, Look::marked);
    }
}

constexpr double build_points = 26;

/// One stack as a column of rows, from the piston face to the clamp.
int writeStack(SheetWriter& writer, int first_row, const std::vector<BuildRow>& rows, int column, bool build,
               int legs) {
    int row = first_row;
    for (std::size_t i = 0; i < rows.size(); ++i, ++row) {
        const Look look = rows[i].replaces.empty() ? Look::text : Look::marked;
        writer.rowHeight(row, build_points);
        writer.put(row, column, numberCell(static_cast<std::int64_t>(i) + 1), Look::number);
        writer.put(row, column + 1, textCell(rows[i].text), look);
        if (!build) continue;
        writer.put(row, column + 2, textCell(rows[i].replaces), look);
        for (int leg = 0; leg < legs; ++leg) writer.put(row, column + 3 + leg, blankCell(), Look::tick);
    }
    return row;
}

void writeBuildSheet(SheetWriter& writer, const ComponentPick& pick, std::size_t number) {
    const PickList& list = pick.valves[number];
    std::vector<double> widths = {5, 21, 3, 5, 21, 21};
    std::vector<std::string> headings = {"No.", "Target", "", "No.", "Build", "In place of"};
    for (int leg = list.first_leg; leg < list.first_leg + list.legs; ++leg) {
        widths.push_back(8);
        headings.push_back("Leg " + std::to_string(leg));
    }
    const int last_column = static_cast<int>(widths.size()) - 1;
    const std::string which = pick.valves.size() == 1 ? std::string() : " " + std::to_string(number + 1);
    writer.addSheet("Build sheet" + which, "Build sheet " + list.job, false, widths);
    writer.putAcross(1, 0, last_column, subtitle(list, pick.valveText(list), list.legs), Look::note);
    writer.putAcross(2, 0, last_column,
                     "Each leg alike, from the piston face (1) to the clamp; count x outer diameter x "
                     "thickness, mm. Tick each row as it goes on.",
                     Look::note, 2);
    writer.headings(4, headings);
    const int target_end = writeStack(writer, 5, list.target, 0, false, list.legs);
    const int build_end = writeStack(writer, 5, list.build, 3, true, list.legs);
    int row = std::max(target_end, build_end);
    writer.put(row, 1, textCell("height " + list.target_height.text(2) + " mm"), Look::note);
    writer.put(row, 4, textCell("height " + list.build_height.text(2) + " mm"), Look::note);
    row += 2;
    if (!list.note.empty()) row = writer.putText(row, 0, last_column, "Note: " + list.note, Look::note);
    for (const std::string& sentence : list.curves)
        row = writer.putText(row, 0, last_column, sentence, Look::note);
    if (!list.clicks.empty())
        row = writer.putText(row, 0, last_column, "Adjuster, by a model: " + list.clicks, Look::note);
    writer.putAcross(row++, 0, last_column, "Cautions", Look::heading);
    for (const std::string& caution : list.cautions)
        row = writer.putText(row, 0, last_column, caution, Look::wrapped);
    row += 1;
    writer.putAcross(row, 0, 1, "Built by", Look::wrapped, 2);
    writer.putAcross(row, 2, last_column, "", Look::wrapped, 2);
    ++row;
    writer.putAcross(row, 0, 1, "Date", Look::wrapped, 2);
    writer.putAcross(row, 2, last_column, "", Look::wrapped, 2);
}

} // namespace

void writePickListSheet(const ComponentPick& pick, const inventory::OutputTarget& target, PaperSize paper) {
    const PickList& first = pick.valves.front();
    SheetWriter writer(target, "pick list", "Pick list " + first.job, first.made, paper);
    writeLines(writer, pick);
    for (std::size_t valve = 0; valve < pick.valves.size(); ++valve) writeBuildSheet(writer, pick, valve);
    writer.finish();
}

} // namespace shimledger::services
