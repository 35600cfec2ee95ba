// SPDX-License-Identifier: GPL-3.0-or-later
// CSV import. The first byte says which table the rest is; the bytes go through the CSV reader, and, where it
// finds any record of more than one cell, one time in sixteen through the import of a shop that has something
// of everything: SQLite makes that a hundred times slower. Which inputs are that one is told by the input
// itself. A preview changes nothing, so one shop serves all runs.
#include "inventory/csv_import.h"
#include "inventory/csv_reader.h"

#include "tests/inventory/rich_shop.h"

#include <array>
#include <cstdint>
#include <cstdlib>
#include <fstream>
#include <functional>
#include <sstream>
#include <string>
#include <string_view>

using namespace shimledger::inventory;

namespace {

constexpr std::array<const char*, 18> tables{"suppliers.csv",
                                             "bins.csv",
                                             "parts.csv",
                                             "supplier_parts.csv",
                                             "component_models.csv",
                                             "model_consumables.csv",
                                             "stock.csv",
                                             "jobs.csv",
                                             "job_stacks.csv",
                                             "job_consumables.csv",
                                             "purchase_orders.csv",
                                             "order_lines.csv",
                                             "movements.csv",
                                             "readings.csv",
                                             "wear_findings.csv",
                                             "price_breaks.csv",
                                             "model_valves.csv",
                                             "model_flows.csv"};

constexpr std::size_t import_one_in = 16;

struct FuzzShop {
    TemporaryFolder folder;
    ShopFile shop = ShopFile::create(folder / "shop.db", fixedClock(test_time));
    FuzzShop() {
        fillRichShop(shop);
        StockLedger ledger(shop);
        revision = ledger.revision();
    }
    std::int64_t revision = 0;
};

bool worthImporting(const std::string& text) {
    std::istringstream in(text);
    CsvReader reader(in);
    CsvRecord record;
    bool several = false;
    std::int64_t last_line = 0;
    while (reader.next(record)) {
        if (record.line <= last_line && last_line > 0) std::abort(); // the reader stands still
        last_line = record.line;
        several = several || record.cells.size() > 1;
    }
    return several;
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size < 2) return 0;
    const std::string text(reinterpret_cast<const char*>(data + 1), size - 1);
    if (!worthImporting(text) || std::hash<std::string>{}(text) % import_one_in != 0) return 0;
    static FuzzShop fuzz;
    const auto file = fuzz.folder / tables.at(data[0] % tables.size());
    std::ofstream(file, std::ios::binary | std::ios::trunc) << text;
    try {
        const ImportReport report = previewFile(fuzz.shop, file);
        if (report.problem_count < 0) std::abort();
    } catch (const shimledger::InputError& error) {
        if (std::string_view(error.what()).empty()) std::abort();
    }
    if (StockLedger(fuzz.shop).revision() != fuzz.revision) std::abort();
    return 0;
}
