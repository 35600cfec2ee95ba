// SPDX-License-Identifier: GPL-3.0-or-later
#include "support.h"

#include "inventory/reorder_class.h"
#include "inventory/stock_history.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

const CalendarDate long_ago = CalendarDate::parse("2000-01-01");
const CalendarDate far_off = CalendarDate::parse("2100-01-01");

} // namespace

TEST_CASE("a shop file from before the reorder settings is brought up to date with its offers", "[file]") {
    const TemporaryFolder folder;
    std::filesystem::copy_file(SHIMLEDGER_TEST_DATA "/before_reorder_classes.db", folder / "shop.db");
    ShopFile shop = ShopFile::open(folder.shop("shop.db"));
    CHECK(SupplierList(shop).offers().size() == 1);
    CHECK(SupplierList(shop).offers().front().breaks.empty());
    CHECK(ReorderClasses(shop).list().empty());
    SupplierList(shop).addPriceBreak("Invented Discs", "S24", 10, {5, 700});
    CHECK(SupplierList(shop).offersOfPart("S24").front().breaks == std::vector<PriceBreak>{{5, 700}});
}

TEST_CASE("settings of a class stand for it, those of the empty class for every other") {
    SmallShop small;
    ReorderClasses classes(small.shop);
    CHECK(classes.of("A").service_per_mille == 950);
    ReorderClass others;
    others.service_per_mille = 900;
    classes.set(others);
    ReorderClass fast;
    fast.part_class = "A";
    fast.service_per_mille = 980;
    classes.set(fast);
    fast.review_days = 14;
    classes.set(fast);
    CHECK(classes.of("A") == fast);
    CHECK(classes.of("B").service_per_mille == 900);
    CHECK(classes.of("B").part_class == "B");
    CHECK(classes.list() == std::vector<ReorderClass>{others, fast});
}

TEST_CASE("settings out of range are named with their range, and nothing changes") {
    SmallShop small;
    ReorderClasses classes(small.shop);
    const auto refused = [&](auto change, const char* part_of_sentence) {
        ReorderClass settings;
        settings.part_class = "A";
        change(settings);
        CHECK_THROWS_WITH(classes.set(settings), Contains(part_of_sentence));
    };
    refused([](auto& s) { s.service_per_mille = 1000; }, "give 500 to 999");
    refused([](auto& s) { s.service_per_mille = 0; }, "service level");
    refused([](auto& s) { s.service_per_mille = 98; }, "98 looks like per cent: write 980");
    refused([](auto& s) { s.service_per_mille = 499; }, "give 500 to 999");
    refused([](auto& s) { s.review_days = -1; }, "review period");
    refused([](auto& s) { s.line_cost = 0; }, "cost of an order line");
    refused([](auto& s) { s.holding_percent = 0; }, "holding cost");
    refused([](auto& s) { s.cover_months = 0; }, "longest cover");
    refused([](auto& s) { s.dead_months = 500; }, "dead");
    CHECK(classes.list().empty());
}

TEST_CASE("price breaks come down step by step, and a step up is refused") {
    SmallShop small;
    SupplierList suppliers(small.shop);
    suppliers.addOffer({"Invented Discs", "S24-10", 10, 800, "", {}, {{5, 700}, {20, 650}}});
    suppliers.addPriceBreak("Invented Discs", "S24-10", 10, {10, 680});
    CHECK(suppliers.offers().size() == 1);
    CHECK(suppliers.offers().front().breaks == std::vector<PriceBreak>{{5, 700}, {10, 680}, {20, 650}});
    CHECK_THROWS_WITH(suppliers.addPriceBreak("Invented Discs", "S24-10", 10, {10, 670}),
                      Contains("already"));
    CHECK_THROWS_WITH(suppliers.addPriceBreak("Invented Discs", "S24-10", 10, {30, 660}), Contains("dearer"));
    CHECK_THROWS_WITH(suppliers.addPriceBreak("Invented Discs", "S24-10", 10, {4, 690}), Contains("dearer"));
    CHECK_THROWS_WITH(suppliers.addPriceBreak("Invented Discs", "S24-10", 10, {2, 900}), Contains("dearer"));
    CHECK_THROWS_WITH(suppliers.addPriceBreak("Invented Discs", "S24-10", 10, {1, 100}), Contains("2 to"));
    CHECK_THROWS_WITH(suppliers.addPriceBreak("Invented Discs", "S24-10", 10, {40, 0}), Contains("above 0"));
    CHECK_THROWS_WITH(suppliers.addPriceBreak("Invented Discs", "S24-10", 7, {2, 100}),
                      Contains("packs of 7"));
    CHECK(suppliers.offers().front().breaks.size() == 3);
}

TEST_CASE("substitutions, new parts that came back and first movements are read without what was undone") {
    SmallShop small;
    small.ledger.post({movement(MovementKind::receipt, "S24-10", "A1", 20)});
    MovementLine stand_in = movement(MovementKind::issue, "S24-10", "A1", 3, "J1");
    stand_in.wanted_part = "S24-15";
    small.ledger.post({stand_in});
    const PostedBatch wrong = small.ledger.post({stand_in});
    small.ledger.reverse(wrong.movements.front(), "not that one");
    small.ledger.post({movement(MovementKind::returned, "S24-10", "A1", 1, "J1")});
    MovementLine used = movement(MovementKind::returned, "S24-10", "A1", 2, "J1");
    used.condition = Condition::used;
    small.ledger.post({used});

    const StockHistory history(small.shop);
    CHECK(history.substitutions(long_ago, far_off) ==
          std::vector<Substitution>{{test_time.date(), "J1", "S24-15", "S24-10", 3}});
    CHECK(history.freshReturns(long_ago, far_off) ==
          std::vector<DailyDemand>{{test_time.date(), "S24-10", 1}});
    CHECK(history.substitutions(long_ago, test_time.date()).empty());
    const auto first = history.firstMovements();
    CHECK(std::find(first.begin(), first.end(), FirstMovement{"S24-10", test_time.date()}) != first.end());
}
