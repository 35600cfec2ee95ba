// SPDX-License-Identifier: GPL-3.0-or-later
// A server's tables, triggers and rights against what the program makes; older shops on a server. Runs where
// SHIMLEDGER_TEST_SERVER names one.
#include "rich_shop.h"
#include "whole_export.h"

#include "inventory/csv_export.h"
#include "inventory/shop_backup.h"
#include "inventory/shop_server.h"
#include "inventory/stock_verify.h"
#include "inventory/storage/postgres/server_shop.h"
#include "inventory/storage/sqlite/sqlite_connection.h"
#include "inventory/storage/table_copy.h"
#include "inventory/storage/transaction.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cstdlib>
#include <utility>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

bool thereIsAServer() {
    if (TestServer().wanted()) return true;
    WARN("no server: set SHIMLEDGER_TEST_SERVER, or run it by tests/server/suites inventory");
    return false;
}

/// SQL that is none of ours, by whoever made the database.
bool somebodySays(const std::string& address, const std::string& sql) {
    const std::string command =
        "psql -X -q -v ON_ERROR_STOP=1 -d '" + address + "' -c \"" + sql + "\" > /dev/null";
    return std::system(command.c_str()) == 0;
}

std::string allFaults(const std::filesystem::path& address) {
    std::string all;
    for (const std::string& sentence : verifyStock(ShopFile::openReadOnly(address)).faults)
        all += sentence + "\n";
    return all;
}

} // namespace

TEST_CASE("what somebody altered, dropped or granted on a server is told by its name", "[server]") {
    if (!thereIsAServer()) return;
    TestServer server;
    const std::string original = server.freshDatabase();
    prepareServer(original);
    {
        ShopFile shop = ShopFile::open(original, fixedClock(test_time));
        fillSmallShop(shop);
        StockLedger(shop).post({movement(MovementKind::receipt, "S24-10", "A1", 20)});
        CHECK(verifyStock(shop).good());
    }
    const std::pair<const char*, const char*> wrongs[] = {
        {"ALTER TABLE parts ADD COLUMN x TEXT", "table parts is not as this program made it"},
        {"ALTER TABLE bins ALTER COLUMN code TYPE VARCHAR", "table bins is not as"},
        {"ALTER TABLE bins ALTER COLUMN cabinet DROP NOT NULL", "table bins is not as"},
        {"ALTER TABLE movements DROP CONSTRAINT movements_part_id_fkey", "table movements is not as"},
        {"ALTER TABLE movements DISABLE TRIGGER ALL", "table movements is not as"},
        {"CREATE RULE nothing AS ON INSERT TO movements DO INSTEAD NOTHING", "table movements is not as"},
        {"ALTER TABLE parts ENABLE ROW LEVEL SECURITY", "table parts is not as"},
        {"DROP TABLE job_try_rows", "table job_try_rows is missing"},
        {"DROP INDEX movements_by_bin", "index movements_by_bin is missing"},
        {"CREATE INDEX mine ON movements (quantity)", "holds an index mine"},
        {"DROP TRIGGER movements_never_change ON movements",
         "trigger movements_never_change of movements is missing"},
        {"ALTER TABLE movements DISABLE TRIGGER movements_never_change",
         "trigger movements_never_change of movements is not as"},
        {"CREATE TRIGGER mine BEFORE INSERT ON movements FOR EACH ROW EXECUTE FUNCTION parts_next()",
         "holds a trigger mine of movements"},
        {"CREATE OR REPLACE FUNCTION shop_refuses() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN RETURN NEW; "
         "END'",
         "function shop_refuses is not as"},
        {"GRANT UPDATE ON movements TO shimledger_bench", "shimledger_bench may UPDATE movements"},
        {"GRANT UPDATE (quantity) ON movements TO shimledger_bench", "shimledger_bench may UPDATE movements"},
        {"GRANT TRUNCATE ON balances TO shimledger_reader", "shimledger_reader may TRUNCATE balances"},
        {"GRANT DELETE ON parts TO PUBLIC", "PUBLIC may DELETE parts"},
        {"REVOKE INSERT ON movements FROM shimledger_bench",
         "INSERT ON movements TO shimledger_bench is not"},
    };
    for (const auto& [sql, told] : wrongs) {
        INFO(sql);
        TestServer altered;
        const std::string address = altered.freshDatabase(original);
        CHECK(allFaults(address) == "");
        REQUIRE(somebodySays(address, sql));
        CHECK_THAT(allFaults(address), Contains(told));
        const std::string word(sql);
        if (word.find("shimledger_") == std::string::npos && word.find("PUBLIC") == std::string::npos)
            continue;
        prepareServer(address); // it puts rights right
        CHECK(allFaults(address) == "");
    }
    // Whoever may look may prove it, too.
    CHECK(allFaults(original + "?options=-crole%3Dshimledger_reader") == "");
}

TEST_CASE("a shop on a server is copied into a file at any time, and the file is the shop", "[server]") {
    if (!thereIsAServer()) return;
    SmallShop small;
    if (!asServer(small.shop.connection())) return;
    small.receive("S24-10", "A1", 7);
    const TemporaryFolder folder;
    backupShopFile(small.shop, folder / "copy.db");
    CHECK_THAT(refusalOf([&] { backupShopFile(small.shop, folder / "copy.db"); }),
               Contains("give the backup another name"));
    ShopFile copy = ShopFile::open(folder / "copy.db", fixedClock(test_time));
    CHECK(verifyStock(copy).good());
    CHECK(wholeExport(copy, folder / "there") == wholeExport(small.shop, folder / "here"));
    CHECK_FALSE(std::filesystem::exists(folder / "copy.db-journal"));
    CHECK((std::filesystem::status(folder / "copy.db").permissions() & std::filesystem::perms::others_read) ==
          std::filesystem::perms::none);
}

TEST_CASE("an older shop on a server is copied, brought up to date and equals the file of that age",
          "[server]") {
    if (!thereIsAServer()) return;
    for (const Migration& step : shopMigrations()) {
        if (step.number == currentSchemaNumber()) continue;
        INFO("schema " << step.number);
        const auto fixture = std::filesystem::path(SHIMLEDGER_TEST_DATA) /
                             ("shop_schema_" + std::to_string(step.number) + ".db");
        const auto steps = stepsUpTo(shopMigrations(), step.number);
        const TemporaryFolder folder;
        TestServer server;
        const std::string address = server.freshDatabase();
        writeBytes(folder / "old.db", readBytes(fixture));
        {
            SqliteConnection old_file(folder / "old.db", Access::readOnly, fixedClock(test_time));
            ServerConnection connection(address, Access::readWrite, fixedClock(test_time));
            makeServerTables(connection, steps);
            WriteTransaction arriving(connection);
            copyTables(old_file, connection, tableNames(steps));
            arriving.commit();
        }
        const auto opening = [&] { return refusalOf([&] { static_cast<void>(ShopFile::open(address)); }); };
        CHECK_THAT(opening(), Contains("of an older version (schema " + std::to_string(step.number)));
        CHECK_THAT(refusalOf([&] { prepareServer(address); }), Contains("--backup FILE"));
        writeBytes(folder / "taken.db", "x");
        CHECK_THAT(refusalOf([&] { prepareServer(address, folder / "taken.db"); }),
                   Contains("exists already"));
        CHECK_THAT(opening(), Contains("of an older version"));

        ServerConnection old_program(address, Access::readWrite, fixedClock(test_time));
        CHECK(old_program.schemaNumber() == step.number);
        prepareServer(address, folder / "backup.db");
        CHECK_THAT(refusalOf([&] { const WriteTransaction writes(old_program); }),
                   Contains("was brought to schema " + std::to_string(currentSchemaNumber())));

        CHECK(RawDatabase(folder / "backup.db").value("PRAGMA user_version") == std::to_string(step.number));
        ShopFile shop = ShopFile::open(address, fixedClock(test_time));
        CHECK(allFaults(address) == "");
        ShopFile file = ShopFile::open(folder / "old.db", fixedClock(test_time));
        ShopFile backup = ShopFile::open(folder / "backup.db", fixedClock(test_time));
        const std::string here = wholeExport(shop, folder / "server");
        CHECK(here == wholeExport(file, folder / "file"));
        CHECK(here == wholeExport(backup, folder / "backup"));
        StockLedger(shop).pullAll("J1"); // it works on
        CHECK(verifyStock(shop).good());
    }
}
