// SPDX-License-Identifier: GPL-3.0-or-later
#include "support.h"

#include "inventory/csv_export.h"
#include "inventory/csv_import.h"
#include "inventory/stock_history.h"
#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>

using namespace shimledger::inventory;

TEST_CASE(
    "the demo shop comes in through the ledger's rules, proves true, and goes out and in again unchanged") {
    const TemporaryFolder folder;
    ShopFile shop = ShopFile::create(folder.shop("demo.db"), fixedClock(test_time));
    const ImportReport report = importShopFolder(shop, SHIMLEDGER_SEED_CATALOG);
    CHECK(report.movements > 1000);
    CHECK(verifyStock(shop).good());
    CHECK(JobBook(shop).list().size() >= 6);
    CHECK(PartCatalogue(shop).listKind(PartKind::shim).size() >= 150);
    CHECK(SupplierList(shop).list().size() >= 4);
    exportShopFolder(shop, folder / "out");
    ShopFile copy = ShopFile::create(folder.shop("copy.db"), fixedClock(test_time));
    importShopFolder(copy, folder / "out");
    CHECK(verifyStock(copy).good());
    exportStockCsv(shop, folder / "stock.csv");
    exportStockCsv(copy, folder / "stock-of-copy.csv");
    CHECK(readBytes(folder / "stock.csv") == readBytes(folder / "stock-of-copy.csv"));
    CHECK(StockLedger(copy).revision() == StockLedger(shop).revision());
}
