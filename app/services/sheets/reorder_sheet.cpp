// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheets/reorder_sheet.h"

#include "app/services/reorder_words.h"
#include "app/services/sheets/reorder_review_sheets.h"
#include "app/services/sheets/sheet_writer.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace shimledger::services {

namespace {

constexpr int heading_row = 4;
constexpr int first_line_row = heading_row + 1;
constexpr int supplier_last_column = 12;

/// "F6": column letter and row number as a formula has them.
std::string cellName(char column, int row) {
    return std::string(1, column) + std::to_string(row + 1);
}

std::string supplierText(const SupplierOrder& order) {
    const inventory::Supplier& supplier = order.supplier;
    std::string text =
        "Prices in " + supplier.currency + "; lead time " + std::to_string(supplier.lead_time_days) + " days";
    if (supplier.minimum_order) text += "; minimum order " + inventory::moneyText(*supplier.minimum_order);
    if (supplier.freight) text += "; freight " + inventory::moneyText(*supplier.freight);
    return text + ".";
}

/// The price of a pack, following the packs typed in where it comes down with their number.
Cell priceCell(const ReorderLine& line, const std::string& packs) {
    if (line.breaks.empty()) return moneyCell(line.pack_price);
    std::string formula = inventory::moneyText(line.pack_price);
    for (const auto& step : line.breaks) { // the last step is asked for first
        formula = fmt::format("IF({}>={},{},{})", packs, step.from_packs,
                              inventory::moneyText(step.pack_price), formula);
    }
    return formulaCell("=" + formula, moneyCell(line.price()).number);
}

std::string whyText(const ReorderLine& line) {
    std::string text = line.plain.empty() ? line.reason : line.plain + " (" + line.reason + ")";
    if (!line.demand.empty()) text += "; demand " + line.demand;
    if (line.promised_share > 0) text += "; " + promiseText(line);
    return text;
}

/// As tall as the reason needs: a row that is written by a program does not grow by itself.
double heightOf(const std::string& why) {
    constexpr std::size_t letters_a_line = 46;
    constexpr double points_a_line = 14.5;
    const std::size_t lines = std::max<std::size_t>(2, why.size() / letters_a_line + 1);
    return points_a_line * static_cast<double>(lines) + 3;
}

void writeLine(SheetWriter& writer, int row, const ReorderLine& line) {
    const std::string packs = cellName('F', row);
    writer.rowHeight(row, heightOf(whyText(line)));
    writer.put(row, 0, blankCell(), Look::tick);
    writer.put(row, 1, textCell(line.part), Look::wrapped);
    writer.put(row, 2, textCell(line.what), Look::wrapped);
    writer.put(row, 3, textCell(line.supplier_code), Look::wrapped);
    writer.put(row, 4, textCell(whyText(line)), Look::wrapped);
    writer.put(row, 5, numberCell(line.packs), Look::number);
    writer.put(row, 6, numberCell(line.pack_size), Look::number);
    writer.put(row, 7,
               formulaCell("=" + packs + "*" + cellName('G', row), static_cast<double>(line.pieces())),
               line.unit == "ml" ? Look::millilitres : Look::number);
    writer.put(row, 8, priceCell(line, packs), Look::money);
    writer.put(row, 9, formulaCell("=" + packs + "*" + cellName('I', row), moneyCell(line.total()).number),
               Look::money);
    writer.put(row, 10, textCell(line.priced_on ? line.priced_on->text() : ""), Look::text);
    writer.put(row, 11, line.shelf_life_months ? numberCell(*line.shelf_life_months) : blankCell(),
               Look::number);
    writer.put(row, 12, blankCell(), Look::tick);
}

struct WrittenOrder {
    std::string sheet;
    int total_row = 0;
};

WrittenOrder writeOrder(SheetWriter& writer, const SupplierOrder& order) {
    WrittenOrder written;
    written.sheet = writer.addSheet(order.supplier.name, "Order to " + order.supplier.name, true,
                                    {6, 19, 25, 10, 54, 7, 7, 8, 9, 10, 12, 8, 13});
    writer.putAcross(1, 0, supplier_last_column, supplierText(order), Look::note);
    writer.putAcross(2, 0, supplier_last_column,
                     "Change the packs as you like (0 drops a line): prices, pieces and totals follow.",
                     Look::note);
    writer.headings(heading_row,
                    {"Done", "Part", "What", "Their code", "Why", "Packs", "Pack of", "In all",
                     "Last price of a pack", "Total", "Priced on", "Shelf life, months", "Order number"});
    writer.rowHeight(heading_row, 42); // three lines: "Shelf life, months"
    int row = first_line_row;
    for (const ReorderLine& line : order.lines) writeLine(writer, row++, line);
    writer.wholeNumbersOnly(first_line_row, row - 1, 5);
    written.total_row = row;
    for (int column = 0; column <= supplier_last_column; ++column) {
        writer.put(row, column, blankCell(), Look::total);
    }
    writer.put(row, 1, textCell("Total " + order.supplier.currency), Look::total);
    writer.put(row, 9,
               formulaCell("=SUM(" + cellName('J', first_line_row) + ":" + cellName('J', row - 1) + ")",
                           moneyCell(order.total()).number),
               Look::total);
    return written;
}

std::string plainSum(const std::vector<SupplierOrder>& orders, inventory::Hundredths& sum,
                     inventory::Hundredths& freight) {
    std::set<std::string> currencies;
    for (const SupplierOrder& order : orders) {
        currencies.insert(order.supplier.currency);
        sum += order.total();
        freight += order.toPay() - order.total();
    }
    return currencies.size() == 1 ? *currencies.begin() : "";
}

constexpr int summary_last_column = 8;

/// Sentences under a heading of their own, as tall as they need.
int writeSentences(SheetWriter& writer, int row, const char* heading,
                   const std::vector<std::string>& sentences) {
    if (sentences.empty()) return row;
    writer.putAcross(row++, 0, summary_last_column, heading, Look::heading);
    for (const std::string& sentence : sentences)
        row = writer.putText(row, 0, summary_last_column, sentence + ".", Look::wrapped);
    return row;
}

/// What somebody with five minutes reads; returns the row of the table that follows.
int writeSummaryHead(SheetWriter& writer, const ReorderPlan& plan) {
    writer.addSheet("Summary", "Reorder summary", true, {6, 40, 8, 13, 10, 13, 11, 11, 36});
    writer.putAcross(1, 0, summary_last_column,
                     "The promise is the share of jobs that are served in full from the shelf; one sheet for "
                     "each supplier follows.",
                     Look::note);
    const PageOne page = pageOne(plan);
    int row = writeSentences(writer, 3, "What stops jobs", page.stops);
    row = writeSentences(writer, row, "What to order today", page.today);
    row = writeSentences(writer, row, "What it costs", page.cost);
    row = writeSentences(writer, row, "If nothing is ordered", page.if_not);
    row = writeSentences(writer, row, "Later", page.later) + 1;
    writer.headings(row, {"Done", "Supplier", "Parts", "Goods", "Currency", "Minimum order", "Freight",
                          "Lead time, days", "Note"});
    writer.rowHeight(row, 42); // three lines
    return row + 1;
}

int writeSummaryOrders(SheetWriter& writer, const ReorderPlan& plan, int first_row,
                       const std::set<std::string>& already_taken) {
    int row = first_row;
    std::set<std::string> taken = already_taken;
    for (const SupplierOrder& order : plan.orders) {
        const inventory::Supplier& supplier = order.supplier;
        const std::string sheet = sheetName(supplier.name, taken); // as addSheet will name it
        const int total_row = first_line_row + static_cast<int>(order.lines.size());
        writer.rowHeight(row, 18);
        writer.put(row, 0, blankCell(), Look::tick);
        writer.put(row, 1, textCell(supplier.name), Look::wrapped);
        writer.put(row, 2, numberCell(static_cast<std::int64_t>(order.lines.size())), Look::number);
        writer.put(row, 3,
                   formulaCell("=" + sheetReference(sheet) + cellName('J', total_row),
                               moneyCell(order.total()).number),
                   Look::money);
        writer.put(row, 4, textCell(supplier.currency), Look::text);
        writer.put(row, 5, supplier.minimum_order ? moneyCell(*supplier.minimum_order) : blankCell(),
                   Look::money);
        writer.put(row, 6, supplier.freight ? moneyCell(*supplier.freight) : blankCell(), Look::money);
        writer.put(row, 7, numberCell(supplier.lead_time_days), Look::number);
        writer.put(row, 8, textCell(order.belowMinimum() ? "below the minimum order" : ""),
                   order.belowMinimum() ? Look::marked : Look::wrapped);
        ++row;
    }
    inventory::Hundredths sum = 0, freight = 0;
    const std::string currency = plainSum(plan.orders, sum, freight);
    if (!currency.empty()) {
        const auto total = [&](const char* words, const std::string& formula, inventory::Hundredths amount) {
            for (int column = 0; column <= summary_last_column; ++column) {
                writer.put(row, column, blankCell(), Look::total);
            }
            writer.put(row, 1, textCell(words), Look::total);
            writer.put(row, 3, formulaCell(formula, moneyCell(amount).number), Look::total);
            writer.put(row, 4, textCell(currency), Look::total);
            ++row;
        };
        const int last = row - 1;
        total("Goods of all suppliers", "=SUM(" + cellName('D', first_row) + ":" + cellName('D', last) + ")",
              sum);
        // Of those only that anything is still ordered from.
        total("With freight",
              "=" + cellName('D', last + 1) + "+SUMIF(" + cellName('D', first_row) + ":" +
                  cellName('D', last) + ",\">0\"," + cellName('G', first_row) + ":" + cellName('G', last) +
                  ")",
              sum + freight);
    }
    return row;
}

} // namespace

ReorderReview reorderReview(inventory::ShopFile& shop, const ReorderPlan& plan) {
    ReorderReview review;
    review.summary = reorderSummary(shop);
    std::set<std::string> parts;
    for (const SupplierOrder& order : plan.orders) {
        for (const ReorderLine& line : order.lines) parts.insert(line.part);
    }
    review.courses = stockCourses(shop, plan, parts);
    return review;
}

void writeReorderSheet(const ReorderPlan& plan, const inventory::OutputTarget& target, PaperSize paper,
                       const ReorderReview& review) {
    SheetWriter writer(target, "reorder sheet", "Reorder", plan.made, paper);
    const int first_row = writeSummaryHead(writer, plan);
    int row = writeSummaryOrders(writer, plan, first_row, {"summary"}) + 1;
    if (plan.orders.empty()) writer.putAcross(row++, 0, 8, "Nothing needs to be bought.", Look::wrapped);
    for (const std::string& note : plan.notes)
        row = writer.putText(row, 0, summary_last_column, note, Look::wrapped);
    for (const ReorderLine& line : plan.unoffered) {
        row = writer.putText(row, 0, summary_last_column, line.part + " (" + line.what + "): " + line.reason,
                             Look::wrapped);
    }
    for (const SupplierOrder& order : plan.orders) writeOrder(writer, order);
    if (review.summary) writeDrawersSheet(writer, *review.summary);
    writeCourseSheets(writer, review.courses);
    writer.finish();
}

} // namespace shimledger::services
