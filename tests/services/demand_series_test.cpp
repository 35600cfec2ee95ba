// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/demand_series.h"
#include "tests/services/small_shop.h"

#include <catch2/catch.hpp>

#include <numeric>

using namespace shimledger;
using namespace shimledger::services;
using inventory::MovementKind;

namespace {

const std::string face = shimCode("24", "0.10");
const std::string stand_in = shimCode("24", "0.12");

inventory::MovementLine issue(const std::string& part, std::int64_t quantity, const std::string& job,
                              const std::string& wanted = "") {
    inventory::MovementLine line;
    line.kind = MovementKind::issue;
    line.part = part;
    line.bin = part == face ? "A1" : "A2";
    line.quantity = quantity;
    line.job = job;
    line.wanted_part = wanted;
    return line;
}

double sum(const planner::DemandHistory& history) {
    const std::vector<double> weeks = history.piecesByPeriod();
    return std::accumulate(weeks.begin(), weeks.end(), 0.0);
}

const inventory::CalendarDate in_two_weeks = small_shop_time.date().plusDays(14);

} // namespace

TEST_CASE("demand is booked to the week it fell in, from the part's first movement on") {
    SmallShop small;
    small.ledger.post({issue(face, 2, "")});
    auto weeks = demandHistories(small.shop, in_two_weeks);
    CHECK(weeks.at(face).piecesByPeriod() == std::vector<double>{2, 0});
    CHECK(weeks.at("SEAL").piecesByPeriod() == std::vector<double>{0, 0});
    CHECK(demandHistories(small.shop, small_shop_time.date()).empty()); // not a whole week yet
    CHECK(demandHistories(small.shop, small_shop_time.date().plusDays(70), 4).at(face).piecesByPeriod() ==
          std::vector<double>{0, 0, 0, 0});
}

TEST_CASE("what one day took is one job, and what came back later is taken off the last ones") {
    SmallShop small;
    small.ledger.post({issue(stand_in, 2, "J1")});
    small.ledger.post({issue(stand_in, 3, "J2")});
    const auto known = demandHistories(small.shop, in_two_weeks).at(stand_in);
    REQUIRE(known.jobs.size() == 1);
    CHECK(known.jobs.front().period == 0);
    CHECK(known.jobs.front().pieces == 5);
    inventory::MovementLine back = issue(stand_in, 3, "J2");
    back.kind = MovementKind::returned;
    small.ledger.post({back},
                      inventory::UtcTime::parse(small_shop_time.date().plusDays(3).text() + "T09:00:00Z"));
    CHECK(sum(demandHistories(small.shop, in_two_weeks).at(stand_in)) == 2);
}

TEST_CASE("what was undone, counted, scrapped or moved is no demand, and new parts that came back are none") {
    SmallShop small;
    const auto wrong = small.ledger.post({issue(face, 3, "")});
    small.ledger.reverse(wrong.movements.front(), "not that drawer");
    inventory::MovementLine line = issue(stand_in, 1, "");
    line.kind = MovementKind::scrap;
    small.ledger.post({line});
    line.kind = MovementKind::move;
    line.to_bin = "B1";
    small.ledger.post({line});
    line.to_bin.clear();
    line.kind = MovementKind::count;
    line.quantity = 4;
    small.ledger.post({line});
    CHECK(sum(demandHistories(small.shop, in_two_weeks).at(face)) == 0);
    CHECK(sum(demandHistories(small.shop, in_two_weeks).at(stand_in)) == 0);
    small.ledger.post({issue(stand_in, 4, "J2")});
    line = issue(stand_in, 1, "J2");
    line.kind = MovementKind::returned;
    small.ledger.post({line});
    CHECK(sum(demandHistories(small.shop, in_two_weeks).at(stand_in)) == 3);
}

TEST_CASE(
    "a substitute counts for the size that was wanted, by what the target asks, and not for the one used") {
    SmallShop small;
    // J1 wants 2 x 24 x 0.10 in each of two legs: one came from the drawer, two discs of 0.12 stand in for
    // three.
    small.ledger.post({issue(face, 1, "J1"), issue(stand_in, 2, "J1", face)});
    const auto weeks = demandHistories(small.shop, in_two_weeks);
    CHECK(sum(weeks.at(face)) == 4);
    CHECK(sum(weeks.at(stand_in)) == 0);
}

TEST_CASE("a substitute of a job without a target counts piece for piece") {
    SmallShop small;
    small.ledger.post({issue(stand_in, 2, "", face)});
    const auto weeks = demandHistories(small.shop, in_two_weeks);
    CHECK(sum(weeks.at(face)) == 2);
    CHECK(sum(weeks.at(stand_in)) == 0);
}
