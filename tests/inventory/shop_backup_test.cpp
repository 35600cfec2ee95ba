// SPDX-License-Identifier: GPL-3.0-or-later
#include "support.h"

#include "inventory/inventory_error.h"
#include "inventory/shop_backup.h"
#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

std::size_t filesIn(const std::filesystem::path& folder) {
    return static_cast<std::size_t>(std::distance(std::filesystem::directory_iterator(folder), {}));
}

} // namespace

TEST_CASE("a backup holds what was committed, also what is in the log only, and opens as a shop", "[file]") {
    SmallShop small;
    std::filesystem::create_directory(small.folder / "backups");
    small.receive("S24-10", "A1", 7);
    backupShopFile(small.shop, small.folder / "backups/monday.db");
    small.receive("S24-10", "A1", 1);
    CHECK(filesIn(small.folder / "backups") == 1);
    ShopFile backup = ShopFile::open(small.folder / "backups/monday.db", fixedClock(test_time));
    CHECK(stockSnapshot(backup).lots.at(0).on_hand == 7);
    CHECK(verifyStock(backup).good());
    StockLedger(backup).reserve("J1", {{"S24-10", "A1", Condition::fresh, 7}});
    CHECK(small.lot("S24-10", "A1").reserved == 0);
}

TEST_CASE("a backup can be made while another program is in the middle of an entry", "[file]") {
    SmallShop small;
    small.receive("S24-10", "A1", 7);
    ShopFile other = ShopFile::open(small.shop.path());
    other.atomically([&] {
        StockLedger(other).post({movement(MovementKind::receipt, "S24-10", "A1", 5)});
        backupShopFile(small.shop, small.folder / "copy.db");
    });
    const ShopFile backup = ShopFile::openReadOnly(small.folder / "copy.db");
    CHECK(stockSnapshot(backup).lots.at(0).on_hand == 7);
}

TEST_CASE("a backup never writes over what is there", "[file]") {
    SmallShop small;
    writeBytes(small.folder / "copy.db", "older backup");
    CHECK_THAT(refusalOf([&] { backupShopFile(small.shop, small.folder / "copy.db"); }),
               Contains("exists already"));
    CHECK(readBytes(small.folder / "copy.db") == "older backup");
    CHECK_THAT(refusalOf([&] { backupShopFile(small.shop, small.shop.path()); }), Contains("is a shop file"));
    CHECK_THAT(refusalOf([&] { backupShopFile(small.shop, small.folder / "no/where.db"); }),
               Contains("there is no folder"));
}
