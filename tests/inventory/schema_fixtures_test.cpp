// SPDX-License-Identifier: GPL-3.0-or-later
#include "rich_shop.h"
#include "whole_export.h"

#include "inventory/csv_export.h"
#include "inventory/csv_import.h"
#include "inventory/stock_verify.h"
#include "inventory/storage/open_shop_file.h"

#include <catch2/catch.hpp>

#include <cstdlib>

using namespace shimledger;
using namespace shimledger::inventory;

namespace {

std::vector<int> landedSchemas() {
    std::vector<int> numbers;
    for (const Migration& step : shopMigrations()) numbers.push_back(step.number);
    return numbers;
}

std::filesystem::path fixtureOf(int schema) {
    return std::filesystem::path(SHIMLEDGER_TEST_DATA) / ("shop_schema_" + std::to_string(schema) + ".db");
}

/// Before schema 6 nobody kept when a job ended.
std::string exported(ShopFile& shop, const std::filesystem::path& folder, int schema) {
    if (schema < 6) RawDatabase(shop.path()).run("UPDATE jobs SET ended_utc = NULL");
    return wholeExport(shop, folder);
}

} // namespace

// A maker, not a test: run by name with SHIMLEDGER_FIXTURE_FOLDER set, see tests/inventory/data/README.md.
TEST_CASE("the fixture of the current schema is made", "[file][.make-fixture]") {
    const char* folder = std::getenv("SHIMLEDGER_FIXTURE_FOLDER");
    REQUIRE(folder != nullptr);
    const auto path =
        std::filesystem::path(folder) / ("shop_schema_" + std::to_string(currentSchemaNumber()) + ".db");
    {
        ShopFile shop = ShopFile::create(path, fixedClock(test_time));
        fillRichShop(shop);
        addStripAndInspection(shop);
        addOrdering(shop);
        addOwnData(shop);
        addFlow(shop);
        addTries(shop);
        addFurtherValve(shop);
        addRecipes(shop);
        REQUIRE(verifyStock(shop).good());
    }
    // The last connection has written the log home; a fixture is one file.
    REQUIRE_FALSE(std::filesystem::exists(path.string() + "-wal"));
}

TEST_CASE("a shop file of every schema that has landed opens, is brought up to date and proves true",
          "[file]") {
    for (const int schema : landedSchemas()) {
        INFO("schema " << schema);
        // The newest may still be growing: its fixture is made, at the latest, when the next step lands.
        if (schema == currentSchemaNumber() && !std::filesystem::exists(fixtureOf(schema))) continue;
        const std::string before = readBytes(fixtureOf(schema));
        REQUIRE(before.size() > 4096);
        const TemporaryFolder folder;
        const auto path = folder / "shop.db";
        writeBytes(path, before);
        CHECK(RawDatabase(path).value("PRAGMA user_version") == std::to_string(schema));

        ShopFile shop = ShopFile::open(path, fixedClock(test_time));
        CHECK(shop.schemaVersion() == currentSchemaNumber());
        const VerifyReport report = verifyStock(shop);
        CHECK(report.good());
        CHECK(report.movements == 20);
        CHECK(PartCatalogue(shop).list().size() == 9);
        CHECK(PurchaseOrders(shop).onOrder() ==
              std::map<std::string, std::int64_t>{{"S24-10", 20}, {"S24-15", 10}});
        CHECK(readingsOfPart(shop, "S24-10").size() == 3);
        CHECK(JobBook(shop).list().size() == (schema >= 8 ? 6 : 5));
        CHECK(JobBook(shop).get("J1").status == JobStatus::reserved);
        CHECK(JobBook(shop).stacks("J1").size() == 4);
        CHECK(StockLedger(shop).reservations().size() == 2);
        // It works on: a job of the old file is pulled by the new program.
        StockLedger(shop).pullAll("J1");
        CHECK(verifyStock(shop).good());
        CHECK(readBytes(fixtureOf(schema)) == before);
    }
}

TEST_CASE("an old shop file brought up to date equals a new one with the same entries, table for table",
          "[file]") {
    for (const int schema : landedSchemas()) {
        INFO("schema " << schema);
        if (!std::filesystem::exists(fixtureOf(schema))) continue; // only the newest: see above
        const TemporaryFolder folder;
        writeBytes(folder / "old.db", readBytes(fixtureOf(schema)));
        ShopFile old_shop = ShopFile::open(folder / "old.db", fixedClock(test_time));
        ShopFile new_shop = ShopFile::create(folder / "new.db", fixedClock(test_time));
        fillRichShop(new_shop);
        if (schema >= 2) addStripAndInspection(new_shop);
        if (schema >= 3) addOrdering(new_shop);
        if (schema >= 5) addOwnData(new_shop);
        if (schema >= 6) addFlow(new_shop);
        if (schema >= 7) addTries(new_shop);
        if (schema >= 8) addFurtherValve(new_shop);
        if (schema >= 8) addRecipes(new_shop);
        CHECK(exported(old_shop, folder / "old", schema) == exported(new_shop, folder / "new", schema));
    }
}
