// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheets/kit_sheet.h"

#include "app/services/sheets/sheet_writer.h"

#include <fmt/format.h>

namespace shimledger::services {

namespace {

constexpr int packs_column = 6, total_column = 9, last_column = 12;

std::string percent(double share) {
    return fmt::format("{:.1f} %", 100 * share);
}

std::string binsText(const KitSize& line) {
    std::string bins;
    for (const std::string& bin : line.bins) bins += (bins.empty() ? "" : ", ") + bin;
    return bins;
}

void sizes(SheetWriter& writer, const KitResult& kit) {
    writer.addSheet("Keep", "What to keep", true, {7, 7, 9, 22, 8, 8, 8, 8, 10, 11, 9, 9, 18});
    int row = 1;
    for (const std::string& sentence : kitSentences(kit))
        row = writer.putText(row, 0, last_column, sentence, Look::note);
    ++row;
    writer.headings(row++, {"OD", "Bore", "Thickness", "Part", "Keep", "There", "Buy packs", "Pack of",
                            "Price of a pack", "Total " + kit.currency, "Jobs", "Lost without", "Drawer"});
    const int first = row;
    for (const KitSize& line : kit.lines) {
        const auto total = static_cast<double>(line.packs_to_buy * line.pack_price) / 100;
        writer.put(row, 0, textCell(line.size.od.text()));
        writer.put(row, 1, textCell(line.size.id.text()));
        writer.put(row, 2, textCell(line.size.thickness.text(2)));
        writer.put(row, 3, textCell(line.part), Look::wrapped);
        writer.put(row, 4, numberCell(line.keep), Look::number);
        writer.put(row, 5, numberCell(line.on_hand), Look::number);
        writer.put(row, packs_column, numberCell(line.packs_to_buy), Look::number);
        writer.put(row, 7, numberCell(line.pack_size), Look::number);
        writer.put(row, 8, moneyCell(line.pack_price), Look::money);
        writer.put(row, total_column, formulaCell(fmt::format("=G{0}*I{0}", row + 1), total), Look::money);
        writer.put(row, 10, textCell(fmt::format("{:.1f}", line.jobs)));
        writer.put(row, 11, textCell(percent(line.lost_without)));
        writer.put(row, 12, textCell(binsText(line)), Look::wrapped);
        ++row;
    }
    if (kit.lines.empty()) return;
    writer.put(row, 3, textCell("Together"), Look::total);
    writer.put(
        row, total_column,
        formulaCell(fmt::format("=SUM(J{}:J{})", first + 1, row), static_cast<double>(kit.plan.cost) / 100),
        Look::total);
    writer.wholeNumbersOnly(first, row - 1, packs_column);
}

void listOf(SheetWriter& writer, int& row, const std::string& head, const std::vector<KitSize>& lines) {
    row = writer.putText(row, 0, 4, head, Look::note);
    for (const KitSize& line : lines) {
        writer.put(row, 0, textCell(discSizeText(line.size)), Look::wrapped);
        writer.put(row, 1, textCell(line.part), Look::wrapped);
        writer.put(row, 2, numberCell(line.on_hand), Look::number);
        writer.put(row, 3, textCell(binsText(line)), Look::wrapped);
        ++row;
    }
    ++row;
}

void others(SheetWriter& writer, const KitResult& kit) {
    writer.addSheet("Others", "What needs no drawer", false, {22, 22, 9, 20, 10});
    int row = 1;
    listOf(writer, row, "In the drawers, but no job of the season needs them (there, drawer):", kit.dead);
    listOf(writer, row, "Asked for by wanted stacks, but others do instead: they may run out.", kit.spared);
}

void overMoney(SheetWriter& writer, const KitResult& kit) {
    writer.addSheet("Over money", "Jobs built at once, over money", false, {12, 12, 14, 16, 10});
    int row = writer.putText(
        1, 0, 4,
        "Shares of jobs on fresh windows: by this kind of plan, and by reorder points size by size "
        "for the same money, other sizes standing in.",
        Look::note);
    writer.headings(row++, {"Budget", "Spent", "Built at once", "Reorder points", "Sizes"});
    for (const planner::KitCurvePoint& point : kit.plan.curve) {
        writer.put(row, 0, moneyCell(point.budget), Look::money);
        writer.put(row, 1, moneyCell(point.cost), Look::money);
        writer.put(row, 2, textCell(percent(point.fresh)));
        writer.put(row, 3, textCell(percent(point.plain)));
        writer.put(row, 4, numberCell(point.sizes), Look::number);
        ++row;
    }
}

} // namespace

void writeKitSheet(const KitResult& kit, const inventory::OutputTarget& target, PaperSize paper) {
    SheetWriter writer(target, "kit plan",
                       "Kit for " + kit.season.from.text() + " to " + kit.season.until.text(), kit.made,
                       paper);
    sizes(writer, kit);
    others(writer, kit);
    if (!kit.plan.curve.empty()) overMoney(writer, kit);
    writer.finish();
}

} // namespace shimledger::services
