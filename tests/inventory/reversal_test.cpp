// SPDX-License-Identifier: GPL-3.0-or-later
#include "support.h"

#include "inventory/stock_history.h"
#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

TEST_CASE("a mistake is undone by its reverse, linked both ways, and only once") {
    SmallShop small;
    small.receive("S24-10", "A1", 10);
    const std::int64_t scrapped =
        small.ledger.post({movement(MovementKind::scrap, "S24-10", "A1", 4)}).movements[0];
    const std::int64_t undone = small.ledger.reverse(scrapped, "they were only dusty").movements[0];
    CHECK(small.lot("S24-10", "A1").on_hand == 10);
    const auto entries = StockHistory(small.shop).ofPart("S24-10");
    CHECK(entries[1].reversed_by == undone);
    CHECK(entries[2].reverses == scrapped);
    CHECK(entries[2].reason == "they were only dusty");
    CHECK_THAT(refusalOf([&] { small.ledger.reverse(scrapped, ""); }),
               Contains("undone already, by movement 3"));
    CHECK_THAT(refusalOf([&] { small.ledger.reverse(undone, ""); }), Contains("itself a reversal"));
    CHECK_THAT(refusalOf([&] { small.ledger.reverse(99, ""); }), Contains("no movement 99"));
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE("a receipt is not undone when its parts are promised or gone") {
    SmallShop small;
    small.receive("S24-10", "A1", 5);
    small.ledger.reserve("J1", {{"S24-10", "A1", Condition::fresh, 2}});
    CHECK_THAT(refusalOf([&] { small.ledger.reverse(1, ""); }),
               Contains("cannot undo movement 1 (receipt of 5") && Contains("only 3 available"));
}

TEST_CASE("undoing an issue gives the job its reservation back") {
    SmallShop small;
    small.receive("S24-10", "A1", 5);
    small.ledger.reserve("J1", {{"S24-10", "A1", Condition::fresh, 2}});
    const PostedBatch issue = small.ledger.post({movement(MovementKind::issue, "S24-10", "A1", 3, "J1")});
    small.ledger.reverse(issue.movements[0], "wrong drawer");
    CHECK(small.lot("S24-10", "A1").on_hand == 5);
    CHECK(small.lot("S24-10", "A1").reserved == 2);
    CHECK(small.ledger.reservationsOf("J1").at(0).quantity == 2);
}

TEST_CASE("an issue whose parts came back is not undone on top") {
    SmallShop small;
    small.receive("SEAL", "A1", 5);
    const PostedBatch issue = small.ledger.post({movement(MovementKind::issue, "SEAL", "A1", 3, "J1")});
    small.ledger.post({movement(MovementKind::returned, "SEAL", "A1", 1, "J1")});
    CHECK_THAT(refusalOf([&] { small.ledger.reverse(issue.movements[0], ""); }),
               Contains("the rest was returned"));
    CHECK(small.lot("SEAL", "A1").on_hand == 3);
}

TEST_CASE("a reservation that was used up is not undone") {
    SmallShop small;
    small.receive("S24-10", "A1", 9);
    const PostedBatch reserved = small.ledger.reserve("J1", {{"S24-10", "A1", Condition::fresh, 2}});
    small.ledger.pullAll("J1");
    small.ledger.reserve("J2", {{"S24-10", "A1", Condition::fresh, 5}});
    CHECK_THAT(refusalOf([&] { small.ledger.reverse(reserved.movements[0], ""); }),
               Contains("only 0 of it still reserved for the job"));
}

TEST_CASE("undoing a release promises again only what is still available") {
    SmallShop small;
    small.receive("S24-10", "A1", 4);
    small.ledger.reserve("J1", {{"S24-10", "A1", Condition::fresh, 4}});
    const PostedBatch released = small.ledger.releaseAll("J1", "");
    small.ledger.reserve("J2", {{"S24-10", "A1", Condition::fresh, 1}});
    CHECK_THROWS_AS(small.ledger.reverse(released.movements[0], ""), StockRefusal);
    small.ledger.releaseAll("J2", "");
    small.ledger.reverse(released.movements[0], "");
    CHECK(small.ledger.reservationsOf("J1").at(0).quantity == 4);
}

TEST_CASE("nothing is promised again to a job that has ended") {
    SmallShop small;
    small.receive("S24-10", "A1", 4);
    small.ledger.reserve("J1", {{"S24-10", "A1", Condition::fresh, 4}});
    const PostedBatch released = small.ledger.releaseAll("J1", "");
    JobBook(small.shop).cancel("J1");
    CHECK_THAT(refusalOf([&] { small.ledger.reverse(released.movements[0], ""); }), Contains("is cancelled"));
}

TEST_CASE("a move is undone as a whole, whichever half is named") {
    SmallShop small;
    small.receive("S24-10", "A1", 5);
    MovementLine move = movement(MovementKind::move, "S24-10", "A1", 2);
    move.to_bin = "B1";
    const PostedBatch moved = small.ledger.post({move});
    const std::size_t half = GENERATE(0U, 1U);
    CHECK(small.ledger.reverse(moved.movements.at(half), "back").movements.size() == 2);
    CHECK(small.lot("S24-10", "A1").on_hand == 5);
    CHECK(small.lot("S24-10", "B1").on_hand == 0);
    CHECK_THROWS_AS(small.ledger.reverse(moved.movements.at(1 - half), ""), InputError);
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE("a batch is undone as a whole, or not at all") {
    SmallShop small;
    const PostedBatch delivery = small.ledger.post({movement(MovementKind::receipt, "S24-10", "A1", 5),
                                                    movement(MovementKind::receipt, "S24-15", "A2", 5)});
    small.receive("SEAL", "B1", 1);
    SECTION("whole") {
        CHECK(small.ledger.reverseBatch(delivery.batch, "delivered to the wrong shop").movements.size() == 2);
        CHECK(small.lot("S24-10", "A1").on_hand == 0);
        CHECK(small.lot("S24-15", "A2").on_hand == 0);
        CHECK(small.lot("SEAL", "B1").on_hand == 1);
        CHECK_THAT(refusalOf([&] { small.ledger.reverseBatch(delivery.batch, ""); }),
                   Contains("nothing left to undo"));
    }
    SECTION("not at all") {
        small.ledger.post({movement(MovementKind::scrap, "S24-10", "A1", 1)});
        CHECK_THROWS_AS(small.ledger.reverseBatch(delivery.batch, ""), StockRefusal);
        CHECK(small.lot("S24-15", "A2").on_hand == 5);
    }
}

TEST_CASE("undone issues are no demand, wherever the undoing falls") {
    SmallShop small;
    const UtcTime monday = UtcTime::parse("2026-03-02T09:00:00Z");
    small.ledger.post({movement(MovementKind::receipt, "S24-10", "A1", 50)}, monday);
    small.ledger.post({movement(MovementKind::issue, "S24-10", "A1", 3, "J1")}, monday);
    const PostedBatch wrong = small.ledger.post({movement(MovementKind::issue, "S24-10", "A1", 7)}, monday);
    small.ledger.post({movement(MovementKind::scrap, "S24-10", "A1", 1)}, monday);
    small.ledger.post({movement(MovementKind::count, "S24-10", "A1", 30)}, monday);
    small.ledger.reverse(wrong.movements[0], "a week later");
    const StockHistory history(small.shop);
    CHECK(history.demand(monday.date(), monday.date().plusDays(30)) ==
          std::vector<DailyDemand>{{monday.date(), "S24-10", 3}});
    CHECK(history.demand(monday.date().plusDays(1), monday.date().plusDays(30)).empty());
    CHECK(history.between(monday, UtcTime::parse("2026-03-02T09:00:01Z")).size() == 5);
}
