// SPDX-License-Identifier: GPL-3.0-or-later
#include "support.h"

#include "inventory/stock_history.h"
#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

TEST_CASE("a receipt puts parts on hand and says when, in UTC") {
    SmallShop small;
    const PostedBatch batch = small.ledger.post({movement(MovementKind::receipt, "S24-10", "A1", 12)});
    CHECK(batch.batch == 1);
    CHECK(small.lot("S24-10", "A1").on_hand == 12);
    const auto entries = StockHistory(small.shop).ofPart("S24-10");
    REQUIRE(entries.size() == 1);
    CHECK(entries[0].utc == test_time);
    CHECK(entries[0].on_hand_change == 12);
}

TEST_CASE("new and used discs of one size in one bin are two lots") {
    SmallShop small;
    small.receive("S24-10", "A1", 5);
    findInLeg(small.shop, "J1", "0.10", 3);
    MovementLine back = movement(MovementKind::returned, "S24-10", "A1", 3, "J1");
    back.condition = Condition::used;
    small.ledger.post({back});
    CHECK(small.lot("S24-10", "A1", Condition::fresh).on_hand == 5);
    CHECK(small.lot("S24-10", "A1", Condition::used).on_hand == 3);
}

TEST_CASE("a batch is posted whole or not at all", "[server]") {
    SmallShop small;
    small.receive("S24-10", "A1", 5);
    CHECK_THROWS_AS(small.ledger.post({movement(MovementKind::scrap, "S24-10", "A1", 2),
                                       movement(MovementKind::receipt, "S24-15", "A2", 9),
                                       movement(MovementKind::scrap, "S24-10", "A1", 4)}),
                    StockRefusal);
    CHECK(small.lot("S24-10", "A1").on_hand == 5);
    CHECK(small.ledger.revision() == 1);
}

TEST_CASE("lines of one batch see what the lines before them did") {
    SmallShop small;
    const PostedBatch batch = small.ledger.post({movement(MovementKind::receipt, "S24-10", "A1", 5),
                                                 movement(MovementKind::scrap, "S24-10", "A1", 5)});
    CHECK(batch.movements == std::vector<std::int64_t>{1, 2});
    CHECK(small.lot("S24-10", "A1").on_hand == 0);
}

TEST_CASE("a refusal names part, bin, job, what was wanted and what is available") {
    SmallShop small;
    small.receive("S24-10", "A1", 6);
    small.ledger.reserve("J2", {{"S24-10", "A1", Condition::fresh, 4}});
    try {
        small.ledger.reserve("J1", {{"S24-10", "A1", Condition::fresh, 3}});
        FAIL("three of two available were reserved");
    } catch (const StockRefusal& refusal) {
        CHECK(refusal.part() == "S24-10");
        CHECK(refusal.bin() == "A1");
        CHECK(refusal.job() == "J1");
        CHECK(refusal.wanted() == 3);
        CHECK(refusal.available() == 2);
        CHECK(std::string(refusal.what()) ==
              "cannot reserve 3 of part 'S24-10' (new) in bin 'A1' for job 'J1': only 2 "
              "available (on hand 6, reserved 4)");
    }
}

TEST_CASE("an issue to a job comes out of its own reservation first and the rest out of available",
          "[server]") {
    SmallShop small;
    small.receive("S24-10", "A1", 10);
    small.ledger.reserve("J1", {{"S24-10", "A1", Condition::fresh, 4}});
    small.ledger.reserve("J2", {{"S24-10", "A1", Condition::fresh, 3}});
    SECTION("less than reserved leaves the rest reserved") {
        small.ledger.post({movement(MovementKind::issue, "S24-10", "A1", 3, "J1")});
        CHECK(small.lot("S24-10", "A1").on_hand == 7);
        CHECK(small.lot("S24-10", "A1").reserved == 4);
    }
    SECTION("more than reserved takes what is free") {
        small.ledger.post({movement(MovementKind::issue, "S24-10", "A1", 7, "J1")});
        CHECK(small.lot("S24-10", "A1").on_hand == 3);
        CHECK(small.lot("S24-10", "A1").reserved == 3);
    }
    SECTION("never what is another job's") {
        CHECK_THAT(
            refusalOf([&] { small.ledger.post({movement(MovementKind::issue, "S24-10", "A1", 8, "J1")}); }),
            Contains("only 3 available") && Contains("beside 4 reserved for the job itself"));
    }
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE("only what is a job's own can be released for it") {
    SmallShop small;
    small.receive("S24-10", "A1", 10);
    small.ledger.reserve("J1", {{"S24-10", "A1", Condition::fresh, 4}});
    CHECK_THAT(
        refusalOf([&] { small.ledger.post({movement(MovementKind::release, "S24-10", "A1", 1, "J2")}); }),
        Contains("'J2'") && Contains("0 reserved for it"));
    small.ledger.post({movement(MovementKind::release, "S24-10", "A1", 4, "J1")});
    CHECK(small.lot("S24-10", "A1").reserved == 0);
    CHECK(small.ledger.reservationsOf("J1").empty());
}

TEST_CASE("what is reserved cannot be scrapped or moved away") {
    SmallShop small;
    small.receive("S24-10", "A1", 5);
    small.ledger.reserve("J1", {{"S24-10", "A1", Condition::fresh, 4}});
    MovementLine move = movement(MovementKind::move, "S24-10", "A1", 2);
    move.to_bin = "A2";
    CHECK_THROWS_AS(small.ledger.post({move}), StockRefusal);
    CHECK_THROWS_AS(small.ledger.post({movement(MovementKind::scrap, "S24-10", "A1", 2)}), StockRefusal);
}

TEST_CASE("a move takes out of one bin and puts into another", "[server]") {
    SmallShop small;
    small.receive("S24-10", "A1", 5);
    MovementLine move = movement(MovementKind::move, "S24-10", "A1", 2);
    move.to_bin = "B1";
    const PostedBatch batch = small.ledger.post({move});
    CHECK(batch.movements.size() == 2);
    CHECK(small.lot("S24-10", "A1").on_hand == 3);
    CHECK(small.lot("S24-10", "B1").on_hand == 2);
    move.to_bin = "A1";
    CHECK_THAT(refusalOf([&] { small.ledger.post({move}); }), Contains("into itself"));
}

TEST_CASE("a count makes the books say what was found, and says by how much they were wrong") {
    SmallShop small;
    small.receive("S24-10", "A1", 5);
    small.ledger.post({movement(MovementKind::count, "S24-10", "A1", 3)});
    CHECK(small.lot("S24-10", "A1").on_hand == 3);
    CHECK(StockHistory(small.shop).ofPart("S24-10").back().on_hand_change == -2);
    small.ledger.post({movement(MovementKind::count, "S24-10", "A1", 3)});
    CHECK(StockHistory(small.shop).ofPart("S24-10").back().on_hand_change == 0);
    small.ledger.post({movement(MovementKind::count, "S24-10", "A1", 0)});
    CHECK(small.lot("S24-10", "A1").on_hand == 0);
}

TEST_CASE("new parts come back only as far as they were pulled") {
    SmallShop small;
    small.receive("SEAL", "A1", 5);
    small.ledger.post({movement(MovementKind::issue, "SEAL", "A1", 3, "J1")});
    small.ledger.post({movement(MovementKind::returned, "SEAL", "A1", 2, "J1")});
    CHECK_THAT(
        refusalOf([&] { small.ledger.post({movement(MovementKind::returned, "SEAL", "A1", 2, "J1")}); }),
        Contains("1 pulled and not yet returned"));
    CHECK_THROWS_AS(small.ledger.post({movement(MovementKind::returned, "SEAL", "A1", 1, "J2")}),
                    StockRefusal);
    CHECK_THROWS_AS(small.ledger.post({movement(MovementKind::returned, "SEAL", "A1", 1)}), StockRefusal);
}

TEST_CASE("lines that make no sense are refused, each with its sentence") {
    SmallShop small;
    small.receive("S24-10", "A1", 5);
    const std::int64_t before = small.ledger.revision();
    struct Bad {
        MovementLine line;
        std::string says;
    };
    MovementLine job_on_receipt = movement(MovementKind::receipt, "S24-10", "A1", 1, "J1");
    MovementLine no_target = movement(MovementKind::move, "S24-10", "A1", 1);
    MovementLine supplier_on_scrap = movement(MovementKind::scrap, "S24-10", "A1", 1);
    supplier_on_scrap.supplier = "Invented Discs";
    MovementLine strange_wish = movement(MovementKind::reserve, "S24-10", "A1", 1, "J1");
    strange_wish.wanted_part = "NOPE";
    MovementLine strange_order = movement(MovementKind::receipt, "S24-10", "A1", 1);
    strange_order.order_line = 77;
    const std::vector<Bad> bad{
        {movement(MovementKind::receipt, "NOPE", "A1", 1), "there is no part 'NOPE'"},
        {movement(MovementKind::receipt, "S24-10", "Z9", 1), "there is no bin 'Z9'"},
        {movement(MovementKind::issue, "S24-10", "A1", 1, "J9"), "there is no job 'J9'"},
        {movement(MovementKind::receipt, "S24-10", "A1", 0), "give a whole number of 1"},
        {movement(MovementKind::receipt, "S24-10", "A1", -3), "give a whole number of 1"},
        {movement(MovementKind::receipt, "S24-10", "A1", 2'000'000'000), "give a whole number of 1"},
        {movement(MovementKind::count, "S24-10", "A1", -1), "give a whole number of 0"},
        {movement(MovementKind::reserve, "S24-10", "A1", 1), "belongs to a job"},
        {movement(MovementKind::reversal, "S24-10", "A1", 1), "by naming the movement"},
        {job_on_receipt, "takes no job"},
        {no_target, "needs the bin"},
        {supplier_on_scrap, "takes no supplier"},
        {strange_wish, "there is no part 'NOPE'"},
        {strange_order, "there is no order line 77"},
    };
    for (const Bad& one : bad) {
        INFO(one.says);
        CHECK_THAT(refusalOf([&] { small.ledger.post({one.line}); }), Contains(one.says));
    }
    CHECK(small.ledger.revision() == before);
}

TEST_CASE("the snapshot walks the bins in order and carries the ledger's revision") {
    SmallShop small;
    small.receive("S24-15", "A2", 2);
    small.receive("S24-10", "B1", 3);
    small.receive("S24-15", "A1", 4);
    small.receive("S24-10", "A1", 5);
    const StockSnapshot snapshot = stockSnapshot(small.shop);
    CHECK(snapshot.revision == 4);
    std::vector<std::string> walked;
    for (const StockLot& lot : snapshot.lots) walked.push_back(lot.bin + " " + lot.part);
    CHECK(walked == std::vector<std::string>{"B1 S24-10", "A1 S24-10", "A1 S24-15", "A2 S24-15"});
    CHECK(snapshot.lots[0].thickness == Length::parseMillimetres("0.10"));
    CHECK(stockSnapshot(small.shop, PartKind::oilSeal).lots.empty());
}

TEST_CASE("part balances list every part, also the ones that are out") {
    SmallShop small;
    small.receive("S24-10", "A1", 5);
    small.receive("S24-10", "A2", 2);
    small.ledger.reserve("J1", {{"S24-10", "A1", Condition::fresh, 4}});
    const auto balances = partBalances(small.shop);
    REQUIRE(balances.size() == 3);
    CHECK(balances[0].part == "S24-10");
    CHECK(balances[0].on_hand == 7);
    CHECK(balances[0].available() == 3);
    CHECK(balances[2].part == "SEAL");
    CHECK(balances[2].on_hand == 0);
}
