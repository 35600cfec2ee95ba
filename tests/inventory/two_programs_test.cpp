// SPDX-License-Identifier: GPL-3.0-or-later
#include "own_process.h"
#include "support.h"

#include "inventory/inventory_error.h"
#include "inventory/stock_verify.h"
#include "inventory/storage/open_shop_file.h"
#include "inventory/storage/transaction.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <csignal>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

// A filled shop file that this process does not hold open: a connection must not cross a fork.
std::filesystem::path closedShop(const TemporaryFolder& folder, std::int64_t discs) {
    ShopFile shop = ShopFile::create(folder.shop("shop.db"), fixedClock(test_time));
    fillSmallShop(shop);
    StockLedger(shop).post({movement(MovementKind::receipt, "S24-10", "A1", discs)});
    return folder.shop("shop.db");
}

} // namespace

TEST_CASE("two connections asking for the last discs: one gets them, the other a clear refusal") {
    SmallShop small;
    small.receive("S24-10", "A1", 8);
    ShopFile second = ShopFile::open(small.shop.path());
    small.ledger.reserve("J1", {{"S24-10", "A1", Condition::fresh, 8}});
    CHECK_THAT(refusalOf([&] {
                   StockLedger(second).reserve("J2", {{"S24-10", "A1", Condition::fresh, 8}});
               }),
               Contains("only 0 available (on hand 8, reserved 8)"));
    CHECK(verifyStock(second).good());
}

TEST_CASE("two processes reserving the last discs at once: exactly one gets them") {
    for (int round = 0; round < 10; ++round) {
        const TemporaryFolder folder;
        const auto path = closedShop(folder, 8);
        const auto contender = [&](const std::string& job) {
            return inOwnProcess([&path, job] {
                ShopFile shop = ShopFile::open(path);
                try {
                    StockLedger(shop).reserve(job, {{"S24-10", "A1", Condition::fresh, 8}});
                    return 0;
                } catch (const StockRefusal& refusal) {
                    return refusal.available() == 0 ? 2 : 3;
                }
            });
        };
        const pid_t first = contender("J1");
        const pid_t second = contender("J2");
        std::vector<int> codes{exitCodeOf(first), exitCodeOf(second)};
        std::sort(codes.begin(), codes.end());
        CHECK(codes == std::vector<int>{0, 2});
        const ShopFile shop = ShopFile::open(path);
        CHECK(verifyStock(shop).good());
        CHECK(stockSnapshot(shop).lots.at(0).reserved == 8);
    }
}

TEST_CASE("several processes posting at once lose nothing and promise nothing twice") {
    const TemporaryFolder folder;
    const auto path = closedShop(folder, 50);
    std::vector<pid_t> children;
    children.reserve(4);
    for (int worker = 0; worker < 4; ++worker) {
        children.push_back(inOwnProcess([&path, worker] {
            ShopFile shop = ShopFile::open(path);
            StockLedger ledger(shop);
            const std::string job = worker % 2 == 0 ? "J1" : "J2";
            int got = 0;
            for (int i = 0; i < 20; ++i) {
                try {
                    ledger.reserve(job, {{"S24-10", "A1", Condition::fresh, 1}});
                    ++got;
                } catch (const StockRefusal&) {
                    continue; // the drawer is promised out
                }
            }
            return got;
        }));
    }
    int reserved = 0;
    for (const pid_t child : children) {
        const int got = exitCodeOf(child);
        CHECK(got <= 20);
        reserved += got;
    }
    CHECK(reserved == 50);
    const ShopFile shop = ShopFile::open(path);
    CHECK(verifyStock(shop).good());
    CHECK(stockSnapshot(shop).lots.at(0).reserved == 50);
}

TEST_CASE("a process killed in the middle of an entry leaves nothing of it") {
    const TemporaryFolder folder;
    const auto path = closedShop(folder, 8);
    const pid_t child = inOwnProcess([&path] {
        ShopFile shop = ShopFile::open(path);
        shop.atomically([&] {
            StockLedger(shop).reserve("J1", {{"S24-10", "A1", Condition::fresh, 5}});
            ::kill(::getpid(), SIGKILL);
        });
        return 0;
    });
    CHECK(exitCodeOf(child) == -1);
    const ShopFile shop = ShopFile::open(path);
    CHECK(stockSnapshot(shop).lots.at(0).reserved == 0);
    CHECK(verifyStock(shop).good());
}

TEST_CASE("a writer that never gets its turn is told so in plain words", "[file]") {
    SmallShop small;
    RawDatabase hog(small.shop.path());
    REQUIRE(hog.run("BEGIN IMMEDIATE").empty());
    // The waiting itself takes 15 s; the sentence comes from the same place, so it is asked for directly.
    const auto connection =
        openShopFile(small.shop.path(), Access::readWrite, systemClock(), shopMigrations());
    connection->database().setBusyTimeout(1);
    CHECK_THROWS_AS(WriteTransaction(*connection), ShopFileFault);
    CHECK_THROWS_WITH(WriteTransaction(*connection),
                      Contains("in use by another program") && !Contains("database is locked"));
}
