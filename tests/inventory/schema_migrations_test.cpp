// SPDX-License-Identifier: GPL-3.0-or-later
#include "support.h"

#include "inventory/inventory_error.h"
#include "inventory/stock_verify.h"
#include "inventory/storage/open_shop_file.h"
#include "inventory/strip_record.h"

#include <catch2/catch.hpp>

#include <array>

using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

constexpr std::array<const char*, 1> good_step{"CREATE TABLE later (x INTEGER) STRICT"};
constexpr std::array<const char*, 2> bad_step{"CREATE TABLE half_done (x INTEGER) STRICT",
                                              "CREATE TABLE parts (x)"};

// What this program knows, and one step more.
std::vector<Migration> withStep(std::span<const char* const> statements) {
    std::vector<Migration> steps(shopMigrations().begin(), shopMigrations().end());
    steps.push_back({currentSchemaNumber() + 1, statements});
    return steps;
}

void makeFilledShop(const std::filesystem::path& path) {
    ShopFile shop = ShopFile::create(path);
    fillSmallShop(shop);
}

} // namespace

TEST_CASE("an older shop file is brought up to date on opening and keeps what it holds", "[file]") {
    const TemporaryFolder folder;
    makeFilledShop(folder / "shop.db");
    const auto steps = withStep(good_step);
    {
        const auto connection = openShopFile(folder / "shop.db", Access::readWrite, systemClock(), steps);
        CHECK(schemaNumber(*connection) == currentSchemaNumber() + 1);
    }
    RawDatabase raw(folder / "shop.db");
    CHECK(raw.value("SELECT count(*) FROM later") == "0");
    CHECK(raw.value("SELECT count(*) FROM parts") == "3");
}

TEST_CASE("a step that fails leaves the file as the step before left it", "[file]") {
    const TemporaryFolder folder;
    makeFilledShop(folder / "shop.db");
    const auto steps = withStep(bad_step);
    CHECK_THROWS(openShopFile(folder / "shop.db", Access::readWrite, systemClock(), steps));
    RawDatabase raw(folder / "shop.db");
    CHECK(raw.value("PRAGMA user_version") == std::to_string(currentSchemaNumber()));
    CHECK(raw.value("SELECT count(*) FROM sqlite_schema WHERE name = 'half_done'") == "0");
    CHECK(ShopFile::open(folder / "shop.db").schemaVersion() == currentSchemaNumber());
}

TEST_CASE("an older shop file is not changed by opening it for reading", "[file]") {
    const TemporaryFolder folder;
    makeFilledShop(folder / "shop.db");
    const std::string before = readBytes(folder / "shop.db");
    const auto steps = withStep(good_step);
    CHECK_THROWS_WITH(openShopFile(folder / "shop.db", Access::readOnly, systemClock(), steps),
                      Contains("older version"));
    CHECK(readBytes(folder / "shop.db") == before);
}

TEST_CASE("the header of the file itself carries the schema number once a step is done", "[file]") {
    const TemporaryFolder folder;
    makeFilledShop(folder / "shop.db");
    const auto steps = withStep(good_step);
    const auto connection = openShopFile(folder / "shop.db", Access::readWrite, systemClock(), steps);
    // Still open elsewhere, and yet this program, which knows less, sees it by looking at the bytes.
    CHECK_THROWS_WITH(ShopFile::open(folder / "shop.db"), Contains("newer version"));
}

TEST_CASE("a shop file whose making fails leaves nothing behind", "[file]") {
    const TemporaryFolder folder;
    const auto steps = withStep(bad_step);
    CHECK_THROWS(createShopFile(folder / "shop.db", systemClock(), steps));
    CHECK_FALSE(std::filesystem::exists(folder / "shop.db"));
    CHECK_FALSE(std::filesystem::exists((folder / "shop.db").string() + "-wal"));
}

TEST_CASE("every table of the schema is strict", "[file]") {
    const TemporaryFolder folder;
    makeFilledShop(folder / "shop.db");
    RawDatabase raw(folder / "shop.db");
    CHECK(raw.value("SELECT count(*) FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND "
                    "name NOT LIKE 'sqlite_%'") == "27");
    CHECK(raw.value("SELECT group_concat(name) FROM pragma_table_list WHERE schema = 'main' AND type = "
                    "'table' AND "
                    "name NOT LIKE 'sqlite_%' AND strict = 0")
              .empty());
}

TEST_CASE("a shop file of schema 1 opens with all it held, and takes strip sheets and findings", "[file]") {
    const TemporaryFolder folder;
    std::filesystem::copy_file(SHIMLEDGER_TEST_DATA "/schema_1_shop.db", folder / "shop.db");
    ShopFile shop = ShopFile::open(folder / "shop.db");
    CHECK(shop.schemaVersion() == currentSchemaNumber());
    CHECK(verifyStock(shop).good());
    CHECK(PartCatalogue(shop).list().size() == 307);
    CHECK(JobBook(shop).get("JOB-1002").component.empty());
    CHECK(JobBook(shop).stacks("JOB-1002").size() == 3);
    CHECK(StockLedger(shop).reservationsOf("JOB-1002").size() == 1);
    StripRecords(shop).set(
        {"JOB-1002",
         1,
         {},
         {{2, shimledger::Length::parseMillimetres("24"), {}, "SH-24.0-6-0.10", 0, "", ""}}});
    CHECK(StripRecords(shop).ofJob("JOB-1002").size() == 1);
}
