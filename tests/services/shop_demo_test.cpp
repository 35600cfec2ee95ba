// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/services/small_shop.h"

#include "app/services/plan_job.h"
#include "app/services/shop_demo.h"
#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::services;

namespace {

DemoOptions demoOptions() {
    DemoOptions options;
    options.seed_catalog = SHIMLEDGER_SEED_CATALOG;
    options.clock = inventory::fixedClock(inventory::UtcTime::parse("2026-11-25T07:00:00Z"));
    return options;
}

} // namespace

TEST_CASE("The demo runs the main job and ends with a true ledger and two sheets") {
    const TemporaryFolder folder;
    std::string story;
    DemoOptions options = demoOptions();
    options.tell = [&](const std::string& line) { story += line + "\n"; };
    const DemoShop demo = runDemo(folder / "demo", options);
    CHECK(readBytes(demo.pick_list).substr(0, 2) == "PK");
    CHECK(readBytes(demo.reorder_sheet).substr(0, 2) == "PK");
    auto shop = inventory::ShopFile::openReadOnly(demo.shop_file);
    CHECK(inventory::verifyStock(shop).good());
    CHECK(inventory::JobBook(shop).get("JOB-1002").status == inventory::JobStatus::reserved);
    auto untouched = inventory::ShopFile::openReadOnly(demo.untouched);
    CHECK(inventory::JobBook(untouched).get("JOB-1002").status == inventory::JobStatus::open);
    CHECK(inventory::StockLedger(untouched).reservationsOf("JOB-1002").empty());
    CHECK(story.find("JOB-1005") != std::string::npos);
    CHECK(story.find("(invented)") != std::string::npos);  // a supplier's name ...
    CHECK(story.find("Placeholder") == std::string::npos); // ... and no customer's
}

TEST_CASE("The demo refuses a folder that holds something, and leaves it as it was") {
    const TemporaryFolder folder;
    std::ofstream(folder / "keep.txt") << "mine";
    CHECK_THROWS_AS(makeDemoShop(folder.path(), demoOptions()), InputError);
    CHECK(readBytes(folder / "keep.txt") == "mine");
    CHECK_FALSE(std::filesystem::exists(folder / "shop.db"));
}

TEST_CASE("A demo whose CSV files are bad leaves its folder empty, so that it can be tried again") {
    const TemporaryFolder folder;
    std::filesystem::create_directory(folder / "bad");
    std::ofstream(folder / "bad/bins.csv") << "bin,cabinet,walking_order\nA1,A,soon\n";
    DemoOptions options = demoOptions();
    options.seed_catalog = folder / "bad";
    CHECK_THROWS_AS(makeDemoShop(folder / "demo", options), InputError);
    CHECK(std::filesystem::is_empty(folder / "demo"));
    CHECK(std::filesystem::exists(makeDemoShop(folder / "demo", demoOptions()).shop_file));
}
