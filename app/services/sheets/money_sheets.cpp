// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheets/money_sheets.h"

#include "app/services/sheets/sheet_writer.h"
#include "inventory/part_kinds.h"

#include <fmt/format.h>

namespace shimledger::services {

namespace {

std::string conditionText(inventory::Condition condition, bool scrapped) {
    return std::string(inventory::conditionName(condition)) + (scrapped ? ", scrapped" : "");
}

Look amountLook(const std::string& unit) {
    return unit == "ml" ? Look::millilitres : Look::number;
}

/// The sum of a currency's amounts: live, so that a line that is struck out of the sheet is out of its sum.
Cell sumOf(const std::string& currency, inventory::Hundredths sum, char amounts, char currencies,
           int first_row, int last_row) {
    return formulaCell(fmt::format("=SUMIF({2}{0}:{2}{1},\"{4}\",{3}{0}:{3}{1})", first_row, last_row,
                                   currencies, amounts, currency),
                       static_cast<double>(sum) / 100);
}

void writeMethod(SheetWriter& writer, int row, int last_column, const std::vector<std::string>& notes,
                 const std::vector<std::string>& method) {
    for (const std::string& note : notes) row = writer.putText(row, 0, last_column, note, Look::marked);
    ++row;
    writer.putAcross(row++, 0, last_column, "How the amounts are made", Look::heading);
    for (const std::string& sentence : method)
        row = writer.putText(row, 0, last_column, sentence, Look::wrapped);
}

void writeSums(SheetWriter& writer, const char* sheet, const std::string& title, const char* heading,
               const std::vector<ValueSum>& sums) {
    writer.addSheet(sheet, title, false, {34, 10, 16, 10});
    writer.headings(2, {heading, "Lots", "Value", "Currency"});
    int row = 3;
    for (const ValueSum& sum : sums) {
        Money amount = sum.amount;
        if (amount.empty()) amount[""] = 0;
        for (const auto& [currency, hundredths] : amount) {
            writer.put(row, 0, textCell(sum.name.empty() ? "(none)" : sum.name), Look::text);
            writer.put(row, 1, numberCell(sum.lots), Look::number);
            writer.put(row, 2, moneyCell(hundredths), Look::money);
            writer.put(row, 3, textCell(currency), Look::text);
            ++row;
        }
    }
}

} // namespace

void writeJobCostsSheet(const JobCosts& costs, const inventory::OutputTarget& target, PaperSize paper) {
    const std::string title = "What " + costs.job + " used";
    SheetWriter writer(target, "job costs", title, costs.made, paper);
    writer.addSheet("Costs", title, true, {11, 20, 34, 14, 9, 7, 12, 9, 12, 10, 42});
    constexpr int last_column = 10;
    writer.headings(2, {"Day", "Part", "What", "Condition", "Quantity", "Unit", "Pack price", "Pack of",
                        "Amount", "Currency", "Price"});
    int row = 3;
    for (const CostLine& line : costs.lines) {
        const bool known = line.price.known();
        const Look look = line.price.source == PriceSource::paid ? Look::text : Look::marked;
        writer.put(row, 0, textCell(line.day.text()), Look::text);
        writer.put(row, 1, textCell(line.part), Look::text);
        writer.put(row, 2, textCell(line.what), Look::text);
        writer.put(row, 3, textCell(conditionText(line.condition, line.scrapped)), Look::text);
        writer.put(row, 4, numberCell(line.quantity), amountLook(line.unit));
        writer.put(row, 5, textCell(line.unit), Look::text);
        writer.put(row, 6, known ? moneyCell(line.price.pack_price) : blankCell(), Look::money);
        writer.put(row, 7, known ? numberCell(line.price.pack_size) : blankCell(), Look::number);
        writer.put(row, 8, moneyCell(line.amount()), Look::money);
        writer.put(row, 9, textCell(line.price.currency), Look::text);
        writer.put(row, last_column, textCell(line.price.text()), look);
        ++row;
    }
    const int last_line = row;
    for (const auto& [currency, sum] : costs.total) {
        writer.put(row, 7, textCell("In all"), Look::heading);
        writer.put(row, 8, sumOf(currency, sum, 'I', 'J', 4, last_line), Look::total);
        writer.put(row, 9, textCell(currency), Look::text);
        ++row;
    }
    writeMethod(writer, row + 1, last_column, costs.notes, costs.method);
    writer.finish();
}

void writeStockValueSheet(const StockValue& value, const inventory::OutputTarget& target, PaperSize paper) {
    const std::string title = "Value of the stock on " + value.day.text();
    SheetWriter writer(target, "stock value", title, value.made, paper);
    writeSums(writer, "By kind", title + ", by kind", "Kind", value.by_kind);
    writeSums(writer, "By cabinet", title + ", by cabinet", "Cabinet", value.by_cabinet);
    writer.addSheet("Lots", title, true, {10, 9, 20, 34, 10, 9, 7, 12, 9, 12, 10, 42});
    constexpr int last_column = 11;
    writer.headings(2, {"Cabinet", "Bin", "Part", "What", "Condition", "Quantity", "Unit", "Pack price",
                        "Pack of", "Value", "Currency", "Price"});
    int row = 3;
    for (const ValuedLot& lot : value.lots) {
        const bool known = lot.price.known();
        const Look look = lot.price.source == PriceSource::paid ? Look::text : Look::marked;
        writer.put(row, 0, textCell(lot.cabinet), Look::text);
        writer.put(row, 1, textCell(lot.bin), Look::text);
        writer.put(row, 2, textCell(lot.part), Look::text);
        writer.put(row, 3, textCell(lot.what), Look::text);
        writer.put(row, 4, textCell(conditionText(lot.condition, false)), Look::text);
        writer.put(row, 5, numberCell(lot.quantity), amountLook(lot.unit));
        writer.put(row, 6, textCell(lot.unit), Look::text);
        writer.put(row, 7, known ? moneyCell(lot.price.pack_price) : blankCell(), Look::money);
        writer.put(row, 8, known ? numberCell(lot.price.pack_size) : blankCell(), Look::number);
        writer.put(row, 9, moneyCell(lot.amount()), Look::money);
        writer.put(row, 10, textCell(lot.price.currency), Look::text);
        writer.put(row, last_column, textCell(lot.price.text()), look);
        ++row;
    }
    const int last_line = row;
    for (const auto& [currency, sum] : value.total) {
        writer.put(row, 8, textCell("In all"), Look::heading);
        writer.put(row, 9, sumOf(currency, sum, 'J', 'K', 4, last_line), Look::total);
        writer.put(row, 10, textCell(currency), Look::text);
        ++row;
    }
    writeMethod(writer, row + 1, last_column, valueNotes(value), value.method);
    writer.finish();
}

} // namespace shimledger::services
