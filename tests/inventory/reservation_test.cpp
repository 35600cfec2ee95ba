// SPDX-License-Identifier: GPL-3.0-or-later
#include "support.h"

#include "inventory/stock_history.h"
#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

TEST_CASE(
    "a plan made before somebody else's entry is booked unless a drawer cannot give its line any more") {
    SmallShop small;
    small.receive("S24-10", "A1", 10);
    const std::int64_t planned_at = stockSnapshot(small.shop).revision;
    small.receive("S24-15", "A2", 1);
    small.ledger.post({movement(MovementKind::issue, "S24-10", "A1", 3)});
    small.ledger.reserve("J1", {{"S24-10", "A1", Condition::fresh, 4}}, planned_at);
    CHECK(small.ledger.reservations().size() == 1);
    // 3 are left: the plan that was made of 10 takes 4.
    CHECK_THROWS_AS(small.ledger.reserve("J2", {{"S24-10", "A1", Condition::fresh, 4}}, planned_at),
                    StockChanged);
    CHECK_THAT(refusalOf([&] {
                   small.ledger.reserve("J2", {{"S24-10", "A1", Condition::fresh, 4}}, planned_at);
               }),
               Contains("have changed since the plan for job 'J2'") && Contains("only 3 available"));
    CHECK(small.ledger.reservationsOf("J2").empty());
    // Nothing was posted since: then the plan itself asks for too much.
    CHECK_THROWS_AS(
        small.ledger.reserve("J2", {{"S24-10", "A1", Condition::fresh, 4}}, small.ledger.revision()),
        StockRefusal);
}

TEST_CASE("a substitute is booked with the part that was wanted, through to its issue") {
    SmallShop small;
    small.receive("S24-10", "A1", 10);
    small.ledger.reserve(
        "J1", {{"S24-10", "A1", Condition::fresh, 2}, {"S24-10", "A1", Condition::fresh, 6, "S24-15"}});
    const std::vector<Reservation> held = small.ledger.reservationsOf("J1");
    REQUIRE(held.size() == 2);
    CHECK(held[0] == Reservation{"J1", "S24-10", "A1", Condition::fresh, "", 2});
    CHECK(held[1] == Reservation{"J1", "S24-10", "A1", Condition::fresh, "S24-15", 6});
    small.ledger.pullAll("J1");
    CHECK(small.ledger.reservationsOf("J1").empty());
    const StockHistory history(small.shop);
    const CalendarDate day = test_time.date();
    CHECK(history.demand(day, day.plusDays(1), DemandBasis::wanted) ==
          std::vector<DailyDemand>{{day, "S24-10", 2}, {day, "S24-15", 6}});
    CHECK(history.demand(day, day.plusDays(1), DemandBasis::used) ==
          std::vector<DailyDemand>{{day, "S24-10", 8}});
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE("pulling a job for which nothing is reserved is refused") {
    SmallShop small;
    CHECK_THAT(refusalOf([&] { small.ledger.pullAll("J1"); }), Contains("nothing is reserved for job 'J1'"));
}

TEST_CASE("the status of a job follows the ledger") {
    SmallShop small;
    const JobBook jobs(small.shop);
    small.receive("S24-10", "A1", 10);
    CHECK(jobs.get("J1").status == JobStatus::open);
    small.ledger.reserve("J1", {{"S24-10", "A1", Condition::fresh, 4}});
    CHECK(jobs.get("J1").status == JobStatus::reserved);
    const PostedBatch pulled = small.ledger.pullAll("J1");
    CHECK(jobs.get("J1").status == JobStatus::pulled);
    small.ledger.reverseBatch(pulled.batch, "pulled the wrong drawer");
    CHECK(jobs.get("J1").status == JobStatus::reserved);
    small.ledger.releaseAll("J1", "plan dropped");
    CHECK(jobs.get("J1").status == JobStatus::open);
    CHECK(jobs.get("J2").status == JobStatus::open);
}

TEST_CASE("closing or cancelling a job releases exactly what is its own") {
    SmallShop small;
    small.receive("S24-10", "A1", 10);
    small.receive("S24-15", "A2", 10);
    small.ledger.reserve("J1",
                         {{"S24-10", "A1", Condition::fresh, 4}, {"S24-15", "A2", Condition::fresh, 1}});
    small.ledger.reserve("J2", {{"S24-10", "A1", Condition::fresh, 3}});
    JobBook jobs(small.shop);
    SECTION("close") {
        CHECK(jobs.close("J1") == 5);
        CHECK(jobs.get("J1").status == JobStatus::closed);
    }
    SECTION("cancel") {
        CHECK(jobs.cancel("J1", "customer changed plans") == 5);
        CHECK(jobs.get("J1").status == JobStatus::cancelled);
    }
    CHECK(small.lot("S24-10", "A1").reserved == 3);
    CHECK(small.lot("S24-15", "A2").reserved == 0);
    CHECK(small.ledger.reservations().size() == 1);
    CHECK_THAT(refusalOf([&] {
                   small.ledger.reserve("J1", {{"S24-10", "A1", Condition::fresh, 1}});
               }),
               Contains("nothing can be reserved"));
    CHECK_THAT(refusalOf([&] { jobs.close("J1"); }), Contains("not changed any more"));
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE("discs come back to the drawers of a job that is closed") {
    SmallShop small;
    findInLeg(small.shop, "J1", "0.10", 3);
    JobBook(small.shop).close("J1");
    MovementLine back = movement(MovementKind::returned, "S24-10", "A1", 3, "J1");
    back.condition = Condition::used;
    small.ledger.post({back});
    CHECK(small.lot("S24-10", "A1", Condition::used).on_hand == 3);
}
