// SPDX-License-Identifier: GPL-3.0-or-later
// What happens to a shop file that is open while something else in the process, or another program, touches
// it.
#include "own_process.h"
#include "support.h"

#include "inventory/csv_import.h"
#include "inventory/input_file.h"
#include "inventory/inventory_error.h"
#include "inventory/shop_backup.h"
#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>
#include <fcntl.h>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

// Truly another program: started anew, so that nothing of what SQLite knows of this process's locks goes with
// it.
int outsideProgram(const std::string& what, const std::filesystem::path& path) {
    const pid_t child = ::fork();
    if (child == 0) {
        ::execl(SHIMLEDGER_OUTSIDE_PROGRAM, SHIMLEDGER_OUTSIDE_PROGRAM, what.c_str(), path.c_str(), nullptr);
        ::_exit(96);
    }
    return exitCodeOf(child);
}

int movementsSeenByAnotherProgram(const std::filesystem::path& path) {
    return outsideProgram("count", path);
}

/// A program that opens the file, books one delivery and closes it: the last one to close writes the log
/// home.
int verb(const std::filesystem::path& path) {
    return outsideProgram("book", path);
}

} // namespace

TEST_CASE(
    "whatever in the process opens and closes the shop file, another program does not take its log away",
    "[file]") {
    struct Touch {
        std::string what;
        std::function<void(const std::filesystem::path&)> touch;
    };
    const std::vector<Touch> touches{
        {"nothing", [](const auto&) {}},
        {"a look by a library", [](const auto& path) { std::ifstream(path).get(); }},
        {"a second opening for writing", [](const auto& path) { static_cast<void>(ShopFile::open(path)); }},
        {"a second opening for reading",
         [](const auto& path) { static_cast<void>(ShopFile::openReadOnly(path)); }},
        {"a file that a person named", [](const auto& path) { static_cast<void>(InputFile(path).all()); }},
        {"a copy", [](const auto& path) {
             const ShopFile shop = ShopFile::openReadOnly(path);
             backupShopFile(shop, path.string() + ".copy");
         }}};
    for (const Touch& touch : touches) {
        INFO(touch.what);
        const TemporaryFolder folder;
        const auto path = folder / "shop.db";
        ShopFile shop = ShopFile::create(path, fixedClock(test_time));
        fillSmallShop(shop);
        StockLedger ledger(shop);
        for (int round = 1; round <= 3; ++round) {
            touch.touch(path);
            std::filesystem::remove(path.string() + ".copy");
            REQUIRE(verb(path) == 0);
            CHECK(std::filesystem::exists(path.string() + "-wal"));
            ledger.post({movement(MovementKind::receipt, "S24-10", "A1", 1)});
            CHECK(movementsSeenByAnotherProgram(path) == 2 * round);
        }
        CHECK(verifyStock(shop).good());
    }
}

TEST_CASE("a look at the index of the log by anybody does not let another program cut it short under a "
          "connection",
          "[file]") {
    SmallShop small;
    const auto path = small.shop.path();
    const auto index = path.string() + "-shm";
    REQUIRE(outsideProgram("index", path) == 0);
    std::ifstream(index).get(); // takes away SQLite's own lock
    CHECK(outsideProgram("index", path) == 0);
    { // closing one connection frees no other
        const ShopFile second = ShopFile::openReadOnly(path);
        std::ifstream(index).get();
    }
    std::ifstream(index).get();
    CHECK(outsideProgram("index", path) == 0);
    for (int round = 1; round <= 3; ++round) {
        REQUIRE(verb(path) == 0);
        std::ifstream(index).get();
        CHECK(outsideProgram("index", path) == 0);
        small.receive("S24-10", "A1", 1);
        CHECK(movementsSeenByAnotherProgram(path) == 2 * round);
    }
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE("the last program to close the shop file writes the log home and puts it away", "[file]") {
    const TemporaryFolder folder;
    {
        ShopFile shop = ShopFile::create(folder / "shop.db", fixedClock(test_time));
        fillSmallShop(shop);
        std::ifstream(folder / "shop.db").get();
    }
    CHECK_FALSE(std::filesystem::exists(folder / "shop.db-wal"));
    CHECK_FALSE(std::filesystem::exists(folder / "shop.db-shm"));
}

TEST_CASE("a file that a person named is read to its end, and the log of a shop file is not read at all",
          "[file]") {
    const TemporaryFolder folder;
    std::string text;
    for (int i = 0; i < 100'000; ++i) text += std::to_string(i) + "\n";
    writeBytes(folder / "list.csv", text);
    InputFile file(folder / "list.csv");
    CHECK(file.all() == text);
    CHECK_THAT(refusalOf([&] { InputFile missing(folder / "none.csv"); }), Contains("there is no file"));
    CHECK_THAT(refusalOf([&] { InputFile directory(folder / "."); }), Contains("is a folder"));
    SmallShop small;
    CHECK_THAT(refusalOf([&] { InputFile log(small.shop.path().string() + "-wal"); }),
               Contains("belongs to a shop file"));
    CHECK_THAT(refusalOf([&] { InputFile index(small.shop.path().string() + "-shm"); }),
               Contains("belongs to a shop file"));
}

TEST_CASE(
    "files and shops are read by a symbolic link as by their own name, and a shop is kept as well there",
    "[file]") {
    const TemporaryFolder folder;
    std::filesystem::create_directory(folder / "data");
    writeBytes(folder / "data/list.csv", "hello");
    std::filesystem::create_symlink("data/list.csv", folder / "list.csv");
    CHECK(InputFile(folder / "list.csv").all() == "hello");
    const auto path = folder / "data/shop.db";
    {
        ShopFile shop = ShopFile::create(path, fixedClock(test_time));
        fillSmallShop(shop);
    }
    std::filesystem::create_symlink("data/shop.db", folder / "shop.db");
    ShopFile shop = ShopFile::open(folder / "shop.db", fixedClock(test_time));
    std::ifstream(path).get();
    std::ifstream(path.string() + "-shm").get();
    CHECK(outsideProgram("index", path) == 0);
    REQUIRE(verb(path) == 0);
    CHECK(std::filesystem::exists(path.string() + "-wal"));
    StockLedger(shop).post({movement(MovementKind::receipt, "S24-10", "A1", 1)});
    CHECK(movementsSeenByAnotherProgram(path) == 2);
}

TEST_CASE("a backup is put in place only where no program has the shop file open", "[file]") {
    SmallShop small;
    small.receive("S24-10", "A1", 5);
    backupShopFile(small.shop, small.folder / "copy.db");
    small.receive("S24-10", "A1", 7);
    CHECK_THAT(
        refusalOf([&] { static_cast<void>(restoreShopFile(small.folder / "copy.db", small.shop.path())); }),
        Contains("a program has " + small.shop.path().string() + " open"));
    // It has lost nothing by being asked.
    REQUIRE(verb(small.shop.path()) == 0);
    small.receive("S24-10", "A1", 1);
    CHECK(movementsSeenByAnotherProgram(small.shop.path()) == 4);
}

TEST_CASE(
    "copies and what is restored belong to whom the shop file belongs to and may be read by no one else",
    "[file]") {
    const TemporaryFolder folder;
    const auto path = folder / "shop.db";
    const auto mode = [](const std::filesystem::path& file) {
        return static_cast<int>(std::filesystem::status(file).permissions());
    };
    {
        ShopFile shop = ShopFile::create(path, fixedClock(test_time));
        fillSmallShop(shop);
    }
    std::filesystem::permissions(path, std::filesystem::perms(0600));
    {
        const ShopFile shop = ShopFile::open(path, fixedClock(test_time));
        backupShopFile(shop, folder / "copy.db");
        CHECK(mode(folder / "copy.db") == 0600);
        CHECK(mode(backupDaily(shop).value()) == 0600);
    }
    std::filesystem::permissions(folder / "copy.db", std::filesystem::perms(0644));
    static_cast<void>(restoreShopFile(folder / "copy.db", path));
    CHECK(mode(path) == 0600);
    std::filesystem::remove(path);
    static_cast<void>(restoreShopFile(folder / "copy.db", path));
    CHECK(mode(path) == 0644);
}

TEST_CASE("a restore that cannot give the last name leaves the old file and its log in their place",
          "[file]") {
    const TemporaryFolder folder;
    const auto path = folder / "shop.db";
    {
        ShopFile shop = ShopFile::create(path, fixedClock(test_time));
        fillSmallShop(shop);
        backupShopFile(shop, folder / "copy.db");
    }
    const std::string before = readBytes(path);
    writeBytes(path.string() + "-wal", "a log that nobody could write home");
    // The name that the log would be put aside under is a folder that is not empty.
    std::filesystem::create_directory(path.string() + ".replaced-wal");
    writeBytes(path.string() + ".replaced-wal/full", "x");
    CHECK_THROWS_WITH(restoreShopFile(folder / "copy.db", path), Contains("everything stays as it was"));
    CHECK(readBytes(path) == before);
    CHECK(readBytes(path.string() + "-wal") == "a log that nobody could write home");
    CHECK_FALSE(std::filesystem::exists(path.string() + ".replaced"));
    CHECK_FALSE(std::filesystem::exists(path.string() + ".restoring"));
}

TEST_CASE("a shop on a medium that cannot be written opens for reading", "[file]") {
    const TemporaryFolder folder;
    const auto path = folder / "shop.db";
    {
        ShopFile shop = ShopFile::create(path, fixedClock(test_time));
        fillSmallShop(shop);
        StockLedger(shop).post({movement(MovementKind::receipt, "S24-10", "A1", 5)});
    }
    std::filesystem::permissions(path, std::filesystem::perms(0444));
    std::filesystem::permissions(folder / ".", std::filesystem::perms(0555));
    const int code = exitCodeOf(inOwnProcess([&] {
        if (::geteuid() == 0 && ::seteuid(65534) != 0) return 97; // root may write anywhere
        const ShopFile shop = ShopFile::openReadOnly(path);
        return verifyStock(shop).good() && verifyStock(shop).movements == 1 ? 0 : 1;
    }));
    std::filesystem::permissions(folder / ".", std::filesystem::perms(0755));
    CHECK(code == 0);
    CHECK_FALSE(std::filesystem::exists(path.string() + "-shm"));
}
