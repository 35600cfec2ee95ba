// SPDX-License-Identifier: GPL-3.0-or-later
#include "small_shop.h"

#include "app/services/build_state.h"
#include "app/services/history_text.h"
#include "app/services/receive_order.h"
#include "app/services/scan.h"
#include "app/services/stock_flow.h"
#include "inventory/inventory_error.h"
#include "inventory/purchase_orders.h"
#include "inventory/stock_snapshot.h"
#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>

#include <algorithm>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;

namespace {

std::int64_t onHand(const inventory::ShopFile& shop, const std::string& part) {
    for (const auto& balance : inventory::partBalances(shop)) {
        if (balance.part == part) return balance.on_hand;
    }
    return -1;
}

std::int64_t reservedOf(const inventory::ShopFile& shop, const std::string& part) {
    for (const auto& balance : inventory::partBalances(shop)) {
        if (balance.part == part) return balance.reserved;
    }
    return -1;
}

/// J1 holds 4 of the 0.12 (2 in place of 0.10) and 2 seals, J2 holds 3 of the 0.12.
void reserveBoth(SmallShop& small) {
    const std::string disc = shimCode("24", "0.12");
    small.ledger.reserve("J1", {{disc, "A2", inventory::Condition::fresh, 4, shimCode("24", "0.10")},
                                {"SEAL", "B1", inventory::Condition::fresh, 2}});
    small.ledger.reserve("J2", {{disc, "A2", inventory::Condition::fresh, 3}});
}

} // namespace

TEST_CASE("a scanned bin is found whatever the scanner adds or makes of its letters") {
    SmallShop small;
    CHECK(binOfScan(small.shop, " A1\r\n").code == "A1");
    CHECK(binOfScan(small.shop, "a1").code == "A1");
    CHECK_THROWS_WITH(binOfScan(small.shop, "Z9"), Contains("there is no bin 'Z9'"));
    CHECK_THROWS_WITH(binOfScan(small.shop, " \r\n"), Contains("no bin was scanned"));
    inventory::BinList(small.shop).add({"x7", "", 1, ""});
    inventory::BinList(small.shop).add({"X7", "", 2, ""});
    CHECK(binOfScan(small.shop, "x7").code == "x7");
    inventory::BinList(small.shop).add({"Ab", "", 1, ""});
    inventory::BinList(small.shop).add({"aB", "", 2, ""});
    CHECK_THROWS_WITH(binOfScan(small.shop, "ab"), Contains("type the code exactly"));
}

TEST_CASE("a scan pulls what the job holds in that drawer, and a wrong drawer says where to go") {
    SmallShop small;
    reserveBoth(small);
    REQUIRE(openPulls(small.shop, "J1").size() == 2);
    CHECK(openPulls(small.shop, "J1")[0].reservation.bin == "B1"); // walking order
    CHECK_THROWS_WITH(pullFromBin(small.shop, "J1", "a1"), Contains("the next pull is from bin 'B1'"));
    const FlowStep step = pullFromBin(small.shop, "J1", "a2\r");
    CHECK(step.sentences == std::vector<std::string>{
                                "4 of S24-0.12 were pulled from A2 for J1, in place of S24-0.10 (pulled)."});
    CHECK(openPulls(small.shop, "J1").size() == 1);
    CHECK(openPulls(small.shop, "J2").size() == 1); // another job's is left alone
    CHECK(inventory::JobBook(small.shop).get("J1").status == inventory::JobStatus::reserved);
    pullAll(small.shop, "J1");
    CHECK(inventory::JobBook(small.shop).get("J1").status == inventory::JobStatus::pulled);
    CHECK_THROWS_WITH(pullFromBin(small.shop, "J1", "A2"), Contains("all of it is pulled"));
}

TEST_CASE("closing a job issues or releases exactly its own") {
    const std::string disc = shimCode("24", "0.12");
    {
        SmallShop small;
        reserveBoth(small);
        const EndedJob ended = closeJob(small.shop, "J1", OpenReservations::release);
        CHECK(ended.released == 6);
        CHECK(ended.issued == 0);
        CHECK(onHand(small.shop, disc) == 20);
        CHECK(reservedOf(small.shop, disc) == 3);
    }
    {
        SmallShop small;
        reserveBoth(small);
        const EndedJob ended = closeJob(small.shop, "J1", OpenReservations::issue);
        CHECK(ended.issued == 6);
        CHECK(ended.released == 0);
        CHECK(onHand(small.shop, disc) == 16);
        CHECK(onHand(small.shop, "SEAL") == 1);
        CHECK(reservedOf(small.shop, disc) == 3);
        CHECK_THROWS_WITH(closeJob(small.shop, "J1", OpenReservations::release), Contains("closed"));
        CHECK(inventory::verifyStock(small.shop).good());
    }
    {
        SmallShop small;
        reserveBoth(small);
        CHECK(cancelJob(small.shop, "J2", "customer changed his mind").released == 3);
        CHECK(reservedOf(small.shop, disc) == 4);
        CHECK_THAT(jobHistory(small.shop, "J2").back().sentence, Contains("customer changed his mind"));
    }
    {
        SmallShop small;
        reserveBoth(small);
        pullAll(small.shop, "J1");
        returnPieces(small.shop, {disc, "A1", 1, inventory::Condition::fresh, "J1"});
        const EndedJob ended = cancelJob(small.shop, "J1", "");
        CHECK(ended.released == 0);
        INFO(ended.notes.size());
        CHECK(std::any_of(ended.notes.begin(), ended.notes.end(), [&disc](const std::string& note) {
            return note.rfind("3 of " + disc + " were pulled", 0) == 0;
        }));
    }
}

TEST_CASE(
    "a pull of more than is there, or a return of what was never pulled, is refused and changes nothing") {
    SmallShop small;
    const std::int64_t revision = small.ledger.revision();
    CHECK_THROWS_WITH(issuePieces(small.shop, {"SEAL", "B1", 4}),
                      Contains("cannot issue 4 of part 'SEAL'") && Contains("only 3 available"));
    CHECK_THROWS_WITH(returnPieces(small.shop, {"SEAL", "B1", 1}), Contains("0 pulled and not yet returned"));
    PieceMove used{"SEAL", "B1", 1, inventory::Condition::used, "J1"};
    CHECK_THROWS_WITH(returnPieces(small.shop, used), Contains("only 0 of it was pulled for the job"));
    CHECK_THROWS_WITH(scrapPieces(small.shop, {"SEAL", "B1", 1}), Contains("say why"));
    CHECK_THROWS_WITH(undoMovement(small.shop, 1, false, ""), Contains("say why"));
    CHECK(small.ledger.revision() == revision);
}

TEST_CASE("pieces move between drawers, and a mistake is undone by its reverse, alone or as a batch",
          "[server]") {
    SmallShop small;
    const FlowStep moved = movePieces(small.shop, {shimCode("18", "0.15"), "A1", 5, {}, "", "a2", "tidying"});
    CHECK(moved.sentences == std::vector<std::string>{"5 of S18-0.15 were moved from A1 to A2 (tidying)."});
    const FlowStep undone = undoMovement(small.shop, moved.batch.movements[0], false, "wrong part");
    CHECK_THAT(undone.sentences.at(0), Contains("was undone: 5 of S18-0.15") && Contains("wrong part"));
    const FlowStep scrap = scrapPieces(small.shop, {"SEAL", "B1", 1, {}, "", "", "cut"});
    undoMovement(small.shop, scrap.batch.movements[0], true, "it was not cut");
    CHECK(onHand(small.shop, "SEAL") == 3);
    CHECK_THROWS_WITH(undoMovement(small.shop, scrap.batch.movements[0], false, "again"),
                      Contains("undone already"));
    CHECK_THROWS_WITH(undoMovement(small.shop, 9999, true, "none"), Contains("there is no movement 9999"));
    CHECK(inventory::verifyStock(small.shop).good());
}

TEST_CASE("history of a part, a bin and a job reads like sentences, with what was left", "[server]") {
    SmallShop small;
    reserveBoth(small);
    pullAll(small.shop, "J1");
    const auto of_part = partHistory(small.shop, "SEAL");
    REQUIRE(of_part.size() == 3);
    CHECK(of_part[0].sentence == "3 of SEAL came into B1.");
    CHECK(of_part[1].sentence == "2 of SEAL in B1 were reserved for J1.");
    CHECK(of_part[2].sentence == "2 of SEAL were pulled from B1 for J1 (pulled).");
    CHECK(of_part[2].on_hand_after == 1);
    CHECK(of_part[0].short_text == "came");
    CHECK(of_part[1].short_text == "2 reserved for J1");
    CHECK(of_part[2].short_text == "pulled for J1");
    CHECK(of_part[2].part == "SEAL");
    CHECK(of_part[2].bin == "B1");
    movePieces(small.shop, {"SEAL", "B1", 1, {}, "", "A1", ""});
    CHECK(partHistory(small.shop, "SEAL").back().on_hand_after == 1);
    CHECK(binHistory(small.shop, "B1").back().sentence == "1 of SEAL was moved from B1 to A1.");
    CHECK(binHistory(small.shop, "B1").back().short_text == "moved to A1");
    CHECK(binHistory(small.shop, "A1").back().short_text == "moved from B1");
    CHECK(binHistory(small.shop, "B1").back().on_hand_after == 0);
    CHECK(binHistory(small.shop, "A1").back().sentence == "1 of SEAL was moved from B1 to A1.");
    CHECK(jobHistory(small.shop, "J1").size() == 4);
    CHECK_THROWS_WITH(partHistory(small.shop, "NOPE"), Contains("there is no part"));
}

TEST_CASE("a delivery is booked against its order in parts, and the order closes when all has come",
          "[server]") {
    SmallShop small;
    const std::string disc = shimCode("24", "0.10");
    inventory::PurchaseOrders(small.shop)
        .place({"PO-1", "Invented Discs", small_shop_time, false, "", {{0, disc, 2, 10, 810}}});
    auto expected = expectedLines(small.shop, "PO-1");
    REQUIRE(expected.size() == 1);
    CHECK(expected[0].expected() == 20);
    CHECK(expected[0].bin == "A1");
    const std::int64_t line = expected[0].order_line;
    Delivery delivery = receiveOrder(small.shop, "PO-1", {{line, 8, "a1\r\n"}});
    CHECK(delivery.lines_open == 1);
    CHECK_FALSE(delivery.closed);
    CHECK(onHand(small.shop, disc) == 11);
    CHECK_THROWS_WITH(receiveOrder(small.shop, "PO-1", {{line, 13, "A1"}}), Contains("still expects 12"));
    CHECK_THROWS_WITH(receiveOrder(small.shop, "PO-1", {{line + 7, 1, "A1"}}), Contains("has no line"));
    CHECK_THROWS_WITH(receiveOrder(small.shop, "PO-2", {}), Contains("there is no order"));
    CHECK(onHand(small.shop, disc) == 11);
    delivery = receiveOrder(small.shop, "PO-1", {{line, 12, "A2"}});
    CHECK(delivery.closed);
    CHECK(expectedLines(small.shop).empty());
    CHECK_THROWS_WITH(receiveOrder(small.shop, "PO-1", {{line, 1, "A1"}}), Contains("is closed"));
    CHECK_THAT(partHistory(small.shop, disc).back().sentence,
               Contains("12 of S24-0.10 came into A2 from Invented Discs"));
}

TEST_CASE("a build knows what of each row is pulled, what lies in the drawers and what is missing") {
    SmallShop small;
    const std::string disc = shimCode("24", "0.12");
    const std::string behind = shimCode("18", "0.15");
    const auto rowOf = [&](const BuildState& state, const char* od) {
        for (const BuildRowState& row : state.rows) {
            if (row.row.od == mm(od)) return row;
        }
        FAIL("no row of " << od);
        return BuildRowState{};
    };
    const BuildState before = buildState(small.shop, "J1");
    CHECK_FALSE(before.accepted);
    REQUIRE(before.rows.size() == 3); // the target
    CHECK(rowOf(before, "24").missing() == 4);

    inventory::JobStack build{inventory::StackRole::build, 0, {}};
    build.rows = {{2, mm("24"), mm("0.12"), 1}, {1, mm("18"), mm("0.15"), {}}, {1, mm("18"), mm("0.15"), {}}};
    inventory::JobBook(small.shop).setStack("J1", build);
    small.ledger.reserve("J1", {{disc, "A2", inventory::Condition::fresh, 3, shimCode("24", "0.10")},
                                {disc, "F1", inventory::Condition::used, 1, shimCode("24", "0.10")},
                                {behind, "A1", inventory::Condition::fresh, 3}});
    BuildState state = buildState(small.shop, "J1");
    CHECK(state.accepted);
    CHECK(state.target.size() == 3);
    CHECK(state.to_pull.size() == 3);
    CHECK(rowOf(state, "24").reserved == 4);
    CHECK(rowOf(state, "24").bins == std::vector<std::string>{"A2", "F1"});
    CHECK(rowOf(state, "18").needed == 4); // both rows of the size, both legs
    CHECK(rowOf(state, "18").missing() == 1);
    CHECK_FALSE(state.allThere());

    pullFromBin(small.shop, "J1", "A2");
    state = buildState(small.shop, "J1");
    CHECK(rowOf(state, "24").pulled == 3);
    CHECK(rowOf(state, "24").reserved == 1);
    CHECK(rowOf(state, "24").bins == std::vector<std::string>{"F1"});
    const FlowStep wrong = pullFromBin(small.shop, "J1", "F1");
    CHECK(rowOf(buildState(small.shop, "J1"), "24").pulled == 4);
    undoMovement(small.shop, wrong.batch.movements.front(), true, "not those");
    CHECK(rowOf(buildState(small.shop, "J1"), "24").pulled == 3);
    small.ledger.releaseAll("J1", "short: the drawer held less than its books");
    state = buildState(small.shop, "J1");
    CHECK(state.to_pull.empty());
    CHECK(rowOf(state, "24").missing() == 1);
    CHECK(rowOf(state, "18").missing() == 4);
    CHECK_FALSE(state.allThere());
    // A new disc that was not needed after all goes back and is pulled no more.
    PieceMove back{disc, "A2", 1, inventory::Condition::fresh, "J1", "", "one too many"};
    returnPieces(small.shop, back);
    CHECK(rowOf(buildState(small.shop, "J1"), "24").pulled == 2);
    CHECK_THROWS_WITH(buildState(small.shop, "J9"), Contains("J9"));
}
