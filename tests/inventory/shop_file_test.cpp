// SPDX-License-Identifier: GPL-3.0-or-later
#include "support.h"

#include "inventory/inventory_error.h"
#include "inventory/stock_verify.h"
#include "inventory/storage/open_shop_file.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

TEST_CASE("a new shop file is empty, of the current schema, and proves true") {
    const TemporaryFolder folder;
    const ShopFile shop = ShopFile::create(folder.shop("shop.db"));
    CHECK(shop.schemaVersion() == currentSchemaNumber());
    CHECK_FALSE(shop.readOnly());
    CHECK(verifyStock(shop).good());
}

TEST_CASE("creating a shop file never replaces what is there", "[file]") {
    const TemporaryFolder folder;
    writeBytes(folder / "shop.db", "a letter to keep");
    CHECK_THAT(refusalOf([&] { static_cast<void>(ShopFile::create(folder.shop("shop.db"))); }),
               Contains("exists already"));
    CHECK(readBytes(folder / "shop.db") == "a letter to keep");
}

TEST_CASE("creating a shop file in a folder that is not there is a fault with a sentence", "[file]") {
    const TemporaryFolder folder;
    CHECK_THROWS_WITH(ShopFile::create(folder / "nowhere/shop.db"), Contains("cannot be made"));
}

TEST_CASE("opening a path where nothing is makes no file", "[file]") {
    const TemporaryFolder folder;
    CHECK_THAT(refusalOf([&] { static_cast<void>(ShopFile::open(folder.shop("typo.db"))); }),
               Contains("there is no file"));
    CHECK_FALSE(std::filesystem::exists(folder / "typo.db"));
}

TEST_CASE("what is no shop file is refused and left as it is, byte for byte", "[file]") {
    const TemporaryFolder folder;
    const auto path = folder / "other.db";
    SECTION("a text") {
        writeBytes(path, "dear diary, " + std::string(5000, 'x'));
    }
    SECTION("an empty file") {
        writeBytes(path, "");
    }
    SECTION("random bytes") {
        std::string bytes;
        for (unsigned i = 0, state = 12345; i < 8192; ++i) {
            state = state * 1103515245U + 12345U;
            bytes += static_cast<char>(state >> 16U);
        }
        writeBytes(path, bytes);
    }
    SECTION("a file that begins like a database and ends at once") {
        writeBytes(path, std::string("SQLite format 3\0", 16));
    }
    SECTION("a database of another program") {
        CHECK(
            RawDatabase(path).run("CREATE TABLE parts (code TEXT); INSERT INTO parts VALUES ('x')").empty());
    }
    const std::string before = readBytes(path);
    CHECK_THAT(refusalOf([&] { static_cast<void>(ShopFile::open(path)); }), Contains("no shop file"));
    CHECK_THAT(refusalOf([&] { static_cast<void>(ShopFile::openReadOnly(path)); }), Contains("no shop file"));
    CHECK(readBytes(path) == before);
    CHECK_FALSE(std::filesystem::exists(path.string() + "-wal"));
}

TEST_CASE("a folder is no shop file", "[file]") {
    const TemporaryFolder folder;
    CHECK_THAT(refusalOf([&] { static_cast<void>(ShopFile::open(folder / "")); }), Contains("is no file"));
}

TEST_CASE("a shop file of a newer version is refused and left as it is, byte for byte", "[file]") {
    const TemporaryFolder folder;
    const auto path = folder / "shop.db";
    { const ShopFile shop = ShopFile::create(path); }
    CHECK(RawDatabase(path).run("PRAGMA user_version = 999").empty());
    const std::string before = readBytes(path);
    CHECK_THAT(refusalOf([&] { static_cast<void>(ShopFile::open(path)); }),
               Contains("newer version") && Contains("999"));
    CHECK_THAT(refusalOf([&] { static_cast<void>(ShopFile::openReadOnly(path)); }),
               Contains("newer version"));
    CHECK(readBytes(path) == before);
}

TEST_CASE("a newer version's number is seen even while it stands in the write-ahead log only", "[file]") {
    const TemporaryFolder folder;
    const auto path = folder / "shop.db";
    const auto copy = folder / "copy.db";
    { const ShopFile shop = ShopFile::create(path); }
    {
        RawDatabase newer(path);
        CHECK(newer.run("PRAGMA wal_autocheckpoint = 0; PRAGMA user_version = 999").empty());
        // As a crash would leave it: the log beside the file, nobody there to write it home.
        std::filesystem::copy_file(path, copy);
        std::filesystem::copy_file(path.string() + "-wal", copy.string() + "-wal");
    }
    const std::string before = readBytes(copy);
    CHECK_THAT(refusalOf([&] { static_cast<void>(ShopFile::open(copy)); }), Contains("newer version"));
    CHECK(readBytes(copy) == before);
}

TEST_CASE("a damaged shop file is found on opening", "[file]") {
    const TemporaryFolder folder;
    const auto path = folder / "shop.db";
    {
        SmallShop small;
        std::filesystem::copy_file(small.shop.path(), path);
    }
    std::string bytes = readBytes(path);
    SECTION("cut short") {
        bytes.resize(bytes.size() / 2);
    }
    SECTION("pages overwritten") {
        bytes.replace(4096, 3 * 4096, std::string(std::size_t{3} * 4096, '\x5a'));
    }
    writeBytes(path, bytes);
    CHECK_THROWS_AS(ShopFile::open(path), ShopFileFault);
    CHECK_THROWS_WITH(ShopFile::open(path), Contains("damaged"));
}

TEST_CASE("a connection keeps its promises: foreign keys, write-ahead log, full synchronisation", "[file]") {
    const TemporaryFolder folder;
    const auto connection = createShopFile(folder / "shop.db", systemClock(), shopMigrations());
    const auto pragma = [&](const std::string& name) {
        SQLite::Statement query(connection->database(), "PRAGMA " + name);
        query.executeStep();
        return query.getColumn(0).getString();
    };
    CHECK(pragma("foreign_keys") == "1");
    CHECK(pragma("journal_mode") == "wal");
    CHECK(pragma("synchronous") == "2");
    CHECK(pragma("application_id") == std::to_string(shop_application_id));
}

TEST_CASE("a file opened for reading takes no entry") {
    SmallShop small;
    small.receive("S24-10", "A1", 4);
    ShopFile reader = ShopFile::openReadOnly(small.shop.path());
    CHECK(reader.readOnly());
    CHECK(stockSnapshot(reader).lots.size() == 1);
    CHECK_THAT(refusalOf([&] { BinList(reader).add({"C1", "C", 1, ""}); }), Contains("for reading only"));
}

TEST_CASE("several entries bound together stand or fall together") {
    SmallShop small;
    const auto failing = [&] {
        small.shop.atomically([&] {
            small.receive("S24-10", "A1", 4);
            small.ledger.post({movement(MovementKind::scrap, "S24-10", "A1", 9)});
        });
    };
    CHECK_THROWS_AS(failing(), StockRefusal);
    CHECK(small.ledger.revision() == 0);
    small.shop.atomically([&] {
        small.receive("S24-10", "A1", 4);
        // An inner refusal that the caller has an answer for takes back only itself.
        CHECK_THROWS_AS(small.ledger.post({movement(MovementKind::scrap, "S24-10", "A1", 9)}), StockRefusal);
        small.receive("S24-10", "A2", 1);
    });
    CHECK(small.ledger.revision() == 2);
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE("reading holds one state in view while another program writes") {
    SmallShop small;
    small.receive("S24-10", "A1", 4);
    ShopFile other = ShopFile::open(small.shop.path());
    const ShopFile& reader = small.shop;
    reader.consistently([&] {
        CHECK(stockSnapshot(reader).revision == 1);
        StockLedger(other).post({movement(MovementKind::receipt, "S24-10", "A1", 1)});
        CHECK(stockSnapshot(reader).revision == 1);
    });
    CHECK(stockSnapshot(reader).revision == 2);
}

TEST_CASE("a shop file in a folder with blanks and letters of other scripts opens", "[file]") {
    const TemporaryFolder folder;
    const auto path = folder / "Werkstatt \xc3\xa4\xc3\xb6 \xd7\xa9?#%.db";
    { const ShopFile shop = ShopFile::create(path); }
    CHECK(ShopFile::open(path).schemaVersion() == currentSchemaNumber());
}
