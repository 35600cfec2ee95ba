// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/csv_export.h"

#include "inventory/csv_writer.h"
#include "inventory/import/export_tables.h"
#include "inventory/output_file.h"
#include "inventory/part_kinds.h"
#include "inventory/stock_snapshot.h"
#include "inventory/storage/transaction.h"

#include <array>
#include <charconv>
#include <optional>
#include <string>

namespace shimledger::inventory {

namespace {

/// Four decimals; "" where fewer than two readings tell no spread.
std::string spreadText(const std::optional<MeasuredThickness>& measured) {
    if (!measured || measured->readings < 2) return "";
    std::array<char, 32> text{};
    const auto end = std::to_chars(text.data(), text.data() + text.size(), measured->deviation_mm,
                                   std::chars_format::fixed, 4);
    return {text.data(), end.ptr};
}

} // namespace

void writeStockCsv(const ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    csv.row({"kind", "od_mm", "id_mm", "thickness_mm", "measured_mm", "condition", "bin", "quantity", "part",
             "reading_spread_mm", "available"});
    for (const StockLot& lot : stockSnapshot(shop).lots) {
        csv.row({std::string(partKindName(lot.kind)), csvLength(lot.od), csvLength(lot.id),
                 csvLength(lot.thickness), lot.measured ? csvLength(lot.measured->mean) : "",
                 std::string(conditionName(lot.condition)), lot.bin, std::to_string(lot.on_hand), lot.part,
                 spreadText(lot.measured), std::to_string(lot.available())});
    }
}

void exportStockCsv(const ShopFile& shop, const std::filesystem::path& file) {
    writeCsvFile(file, [&](std::ostream& out) { writeStockCsv(shop, out); });
}

void exportShopFolder(ShopFile& shop, const std::filesystem::path& folder) {
    makeOutputFolder(folder);
    const ReadTransaction reading(shop.connection()); // all files of one moment
    for (const ExportTable& table : exportTables()) {
        writeCsvFile(folder / table.file, [&](std::ostream& out) { table.write(shop, out); });
        takeReaders(shop.path(), folder / table.file); // customers' names are in them
    }
}

} // namespace shimledger::inventory
