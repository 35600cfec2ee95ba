// SPDX-License-Identifier: GPL-3.0-or-later
#include "rich_shop.h"

#include "inventory/csv_import.h"
#include "inventory/drive_check.h"
#include "inventory/inventory_error.h"
#include "inventory/shop_backup.h"
#include "inventory/shop_rescue.h"
#include "inventory/stock_verify.h"
#include "inventory/storage/open_shop_file.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <set>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

std::vector<std::string> namesIn(const std::filesystem::path& folder) {
    std::vector<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator(folder)) {
        // A reader leaves an empty log and its index beside a file.
        if (entry.path().extension() == ".db") names.push_back(entry.path().filename().string());
    }
    std::sort(names.begin(), names.end());
    return names;
}

WallClock on(const std::string& day) {
    return fixedClock(UtcTime::parse(day + "T09:00:00Z"));
}

const std::array<const char*, 1> good_step{"CREATE TABLE later (x INTEGER) STRICT"};
const std::array<const char*, 2> bad_step{"CREATE TABLE half_done (x INTEGER) STRICT",
                                          "CREATE TABLE parts (x)"};

std::vector<Migration> withStep(std::span<const char* const> statements) {
    std::vector<Migration> steps(shopMigrations().begin(), shopMigrations().end());
    steps.push_back({currentSchemaNumber() + 1, statements});
    return steps;
}

} // namespace

TEST_CASE("the first call of a day makes a backup, and only the latest days are kept", "[file]") {
    const TemporaryFolder folder;
    const auto path = folder / "shop.db";
    {
        ShopFile shop = ShopFile::create(path, on("2026-03-01"));
        fillSmallShop(shop);
    }
    writeBytes(folder / "a letter.txt", "stays");
    for (const char* day : {"2026-03-01", "2026-03-02", "2026-03-02", "2026-03-03", "2026-03-05"}) {
        const ShopFile shop = ShopFile::open(path, on(day));
        const auto made = backupDaily(shop, 3);
        if (made) CHECK(made->filename() == std::string("shop-") + day + ".db");
        CHECK_FALSE(backupDaily(shop, 3));
    }
    writeBytes(folder / "shop-backups/shop-old-one-x.db", "somebody else's");
    CHECK(namesIn(folder / "shop-backups") ==
          std::vector<std::string>{"shop-2026-03-02.db", "shop-2026-03-03.db", "shop-2026-03-05.db",
                                   "shop-old-one-x.db"});
    // A clock that jumped back: its backup is made and stays, the oldest of the others goes.
    const ShopFile shop = ShopFile::open(path, on("2025-01-01"));
    CHECK(backupDaily(shop, 3));
    CHECK(namesIn(folder / "shop-backups") ==
          std::vector<std::string>{"shop-2025-01-01.db", "shop-2026-03-03.db", "shop-2026-03-05.db",
                                   "shop-old-one-x.db"});
    CHECK_THAT(refusalOf([&] { static_cast<void>(backupDaily(shop, 0)); }), Contains("at least one"));
}

TEST_CASE("a backup folder that cannot be made is a fault with a sentence, and the shop works on", "[file]") {
    SmallShop small;
    writeBytes(small.folder / "shop-backups", "a file in the way");
    CHECK_THROWS_WITH(backupDaily(small.shop), Contains("cannot be made"));
    small.receive("S24-10", "A1", 1);
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE("an older file is backed up before it is brought up to date", "[file]") {
    const TemporaryFolder folder;
    const auto path = folder / "shop.db";
    {
        ShopFile shop = ShopFile::create(path, fixedClock(test_time));
        fillRichShop(shop);
    }
    const std::string next = std::to_string(currentSchemaNumber() + 1);
    const auto steps = withStep(good_step);
    static_cast<void>(openShopFile(path, Access::readWrite, systemClock(), steps));
    CHECK(namesIn(folder / "shop-backups") == std::vector<std::string>{"shop-before-schema-" + next + ".db"});
    const ShopFile backup =
        ShopFile::openReadOnly(folder / ("shop-backups/shop-before-schema-" + next + ".db"));
    CHECK(backup.schemaVersion() == currentSchemaNumber());
    CHECK(verifyStock(backup).good());
    // Opening it again, now up to date, makes no other.
    static_cast<void>(openShopFile(path, Access::readWrite, systemClock(), steps));
    CHECK(namesIn(folder / "shop-backups").size() == 1);
}

TEST_CASE("a step that fails leaves the old file and its backup, and every try keeps its own", "[file]") {
    const TemporaryFolder folder;
    const auto path = folder / "shop.db";
    {
        ShopFile shop = ShopFile::create(path, fixedClock(test_time));
        fillRichShop(shop);
    }
    const auto steps = withStep(bad_step);
    for (int i = 0; i < 2; ++i) CHECK_THROWS(openShopFile(path, Access::readWrite, systemClock(), steps));
    CHECK(namesIn(folder / "shop-backups").size() == 2);
    const ShopFile shop = ShopFile::open(path);
    CHECK(verifyStock(shop).good());
    CHECK(verifyStock(shop).movements == 20);
}

TEST_CASE("without a backup nothing is brought up to date", "[file]") {
    const TemporaryFolder folder;
    const auto path = folder / "shop.db";
    { const ShopFile shop = ShopFile::create(path); }
    writeBytes(folder / "shop-backups", "a file in the way");
    const auto steps = withStep(good_step);
    CHECK_THROWS_WITH(openShopFile(path, Access::readWrite, systemClock(), steps),
                      Contains("left as it is, because no backup"));
    CHECK(ShopFile::open(path).schemaVersion() == currentSchemaNumber());
}

TEST_CASE("a restored backup takes the place of a damaged file, whose log does not creep into it", "[file]") {
    const TemporaryFolder folder;
    const auto path = folder / "shop.db";
    {
        ShopFile shop = ShopFile::create(path, on("2026-03-09"));
        fillRichShop(shop);
        REQUIRE(backupDaily(shop));
    }
    std::string bytes = readBytes(path);
    bytes.replace(2 * 4096, 4096, std::string(4096, '\x5a'));
    writeBytes(path, bytes);
    CHECK_THROWS_WITH(ShopFile::open(path), Contains("damaged") && Contains("shop-backups"));
    bytes = readBytes(path);
    writeBytes(path.string() + "-wal", "the log of the damaged file");

    const auto backup = folder / "shop-backups/shop-2026-03-09.db";
    const auto replaced = restoreShopFile(backup, path);
    REQUIRE(replaced);
    CHECK(readBytes(*replaced) == bytes);
    CHECK(readBytes(replaced->string() + "-wal") == "the log of the damaged file");
    ShopFile shop = ShopFile::open(path, fixedClock(test_time));
    CHECK(verifyStock(shop).good());
    CHECK(verifyStock(shop).movements == 20);
    StockLedger(shop).pullAll("J1");
    // The backup is still there, for a second time.
    CHECK(verifyStock(ShopFile::openReadOnly(backup)).movements == 20);
}

TEST_CASE("a damaged or foreign backup is not restored, and the file in its place stays", "[file]") {
    SmallShop small;
    const std::string before = readBytes(small.shop.path());
    writeBytes(small.folder / "letter.db", "dear diary" + std::string(500, 'x'));
    CHECK_THAT(refusalOf([&] { restoreShopFile(small.folder / "letter.db", small.shop.path()); }),
               Contains("no shop file"));
    backupShopFile(small.shop, small.folder / "copy.db");
    std::string bytes = readBytes(small.folder / "copy.db");
    bytes.resize(bytes.size() / 2);
    writeBytes(small.folder / "copy.db", bytes);
    CHECK_THROWS_AS(restoreShopFile(small.folder / "copy.db", small.shop.path()), ShopFileFault);
    CHECK(readBytes(small.shop.path()) == before);
}

TEST_CASE("a backup of an older schema is restored as it is, and brought up to date when opened", "[file]") {
    const TemporaryFolder folder;
    writeBytes(folder / "old.db",
               readBytes(std::filesystem::path(SHIMLEDGER_TEST_DATA) / "shop_schema_1.db"));
    CHECK_FALSE(restoreShopFile(folder / "old.db", folder / "shop.db"));
    CHECK(RawDatabase(folder / "shop.db").value("PRAGMA user_version") == "1");
    CHECK(verifyStock(ShopFile::open(folder / "shop.db")).good());
}

TEST_CASE("what can be read of a damaged file is exported, table for table, and the file is not touched",
          "[file]") {
    const TemporaryFolder folder;
    const auto path = folder / "shop.db";
    {
        ShopFile shop = ShopFile::create(path, fixedClock(test_time));
        fillRichShop(shop);
    }
    // The first page of the readings is overwritten; everything else is sound.
    const std::string page =
        RawDatabase(path).value("SELECT rootpage FROM sqlite_schema WHERE name = 'readings'");
    std::string bytes = readBytes(path);
    bytes.replace((std::stoul(page) - 1) * 4096, 4096, std::string(4096, '\x5a'));
    writeBytes(path, bytes);
    CHECK_THROWS_AS(ShopFile::open(path), ShopFileFault);
    CHECK_THROWS_AS(ShopFile::openReadOnly(path), ShopFileFault);

    const auto tables = rescueShopFile(path, folder / "saved");
    CHECK(readBytes(path) == bytes);
    for (const RescuedTable& table : tables) {
        INFO(table.file << ": " << (table.whole() ? "" : table.lost.front()));
        if (table.file == "readings.csv") {
            CHECK_FALSE(table.whole());
        } else if (table.file.ends_with(".csv")) { // else of the structure, which is told too
            CHECK(table.whole());
        }
    }
    std::filesystem::remove(folder / "saved/readings.csv");
    ShopFile again = ShopFile::create(folder / "again.db", fixedClock(test_time));
    importShopFolder(again, folder / "saved");
    CHECK(verifyStock(again).good());
    CHECK(StockLedger(again).reservations().size() == 2);
    CHECK_THAT(refusalOf([&] { static_cast<void>(rescueShopFile(path, folder / "saved")); }),
               Contains("not an empty folder"));
}

TEST_CASE("bytes flipped anywhere never change what is on hand or reserved unnoticed", "[file]") {
    // A letter of a name that became another letter cannot be known for wrong: SQLite's pages carry no
    // checksum. What the drawers hold stands in the file twice, as balance and as movements.
    const TemporaryFolder folder;
    const auto figures = [](const ShopFile& shop) {
        std::multiset<std::pair<std::int64_t, std::int64_t>> found;
        for (const StockLot& lot : stockSnapshot(shop).lots) found.emplace(lot.on_hand, lot.reserved);
        return found;
    };
    std::multiset<std::pair<std::int64_t, std::int64_t>> right;
    {
        ShopFile shop = ShopFile::create(folder / "good.db", fixedClock(test_time));
        fillRichShop(shop);
        right = figures(shop);
    }
    const std::string good = readBytes(folder / "good.db");
    std::uint32_t state = 20261125;
    int refused = 0;
    int disproved = 0;
    int harmless = 0;
    for (int round = 0; round < 300; ++round) {
        INFO("round " << round);
        std::string bytes = good;
        for (int flips = 0; flips < 4; ++flips) {
            state = state * 1664525U + 1013904223U;
            const std::size_t at = state % bytes.size();
            bytes[at] = static_cast<char>(bytes[at] ^ static_cast<char>(1U << (state >> 29U)));
        }
        const auto path = folder / "flipped.db";
        writeBytes(path, bytes);
        try {
            const ShopFile shop = ShopFile::openReadOnly(path);
            if (!verifyStock(shop).good()) {
                ++disproved;
                continue;
            }
            ++harmless;
            CHECK(figures(shop) == right);
        } catch (const ShopFileFault& fault) {
            ++refused;
            CHECK_THAT(fault.what(), Contains(path.string()));
        } catch (const InputError& wrong) {
            ++refused;
            CHECK_THAT(wrong.what(), Contains(path.string()));
        }
    }
    // Most of the file is free room and text, where a flip is harmless: each way must have been gone.
    CHECK(refused > 0);
    CHECK(disproved > 0);
    CHECK(harmless > 0);
}

TEST_CASE("network drives are known by their number, local ones give no warning", "[file]") {
    CHECK(networkFileSystem(0x6969) == "NFS");
    CHECK(networkFileSystem(0xff534d42) == "CIFS");
    CHECK(networkFileSystem(static_cast<std::int32_t>(0xff534d42)) == "CIFS");
    CHECK(networkFileSystem(0xef53).empty());     // ext4
    CHECK(networkFileSystem(0x01021994).empty()); // tmpfs
    const TemporaryFolder folder;
    CHECK_FALSE(driveWarning(folder / "not yet there.db"));
    CHECK_FALSE(driveWarning("/nowhere/at/all.db"));
}

TEST_CASE("restoring leaves nothing beside the backup", "[file]") {
    SmallShop small;
    small.receive("S24-10", "A1", 5);
    backupShopFile(small.shop, small.folder / "copy.db");
    static_cast<void>(restoreShopFile(small.folder / "copy.db", small.folder / "back.db"));
    CHECK_FALSE(std::filesystem::exists(small.folder / "copy.db-wal"));
    CHECK_FALSE(std::filesystem::exists(small.folder / "copy.db-shm"));
    CHECK(verifyStock(ShopFile::open(small.folder / "back.db")).good());
}
