// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/plan_all_jobs.h"

#include "app/services/plan_job.h"
#include "app/services/reserve_plan.h"
#include "inventory/stock_snapshot.h"
#include "inventory/stock_verify.h"
#include "tests/services/small_shop.h"

#include <catch2/catch.hpp>

#include <functional>
#include <map>
#include <string>

using namespace shimledger;
using namespace shimledger::services;

TEST_CASE("All open jobs are planned together, and no drawer gives a disc twice") {
    SmallShop small;
    const AllJobsPlan all = planAllJobs(small.shop);
    REQUIRE(all.plan.jobs.size() == 2);
    CHECK(all.plan.jobs.front().name == "J1"); // the more urgent one
    CHECK(all.left_out.empty());
    std::map<std::string, std::int64_t> pulled;
    for (const auto& job : all.plan.jobs) {
        REQUIRE(job.proposal);
        for (const auto& pull : job.proposal->pulls) pulled[pull.bin + " " + pull.part] += pull.quantity;
    }
    CHECK(pulled["A1 " + shimCode("24", "0.10")] <= 3);
    CHECK(pulled["A2 " + shimCode("24", "0.12")] <= 12);
    CHECK(pulled["A1 " + shimCode("18", "0.15")] <= 20);
}

TEST_CASE("A job that holds its discs already is left alone by the plan of all jobs") {
    SmallShop small;
    (void)reservePlan(small.shop, planJob(small.shop, "J1"), 0);
    const AllJobsPlan all = planAllJobs(small.shop);
    REQUIRE(all.plan.jobs.size() == 1);
    CHECK(all.plan.jobs.front().name == "J2");
}

TEST_CASE("An open job without a target is told and left out of the plan of all jobs") {
    SmallShop small;
    inventory::JobStack nothing;
    nothing.role = inventory::StackRole::target;
    inventory::JobBook(small.shop).setStack("J2", nothing);
    const AllJobsPlan all = planAllJobs(small.shop);
    CHECK(all.plan.jobs.size() == 1);
    REQUIRE(all.left_out.size() == 1);
    CHECK(all.left_out.front() == "J2 has no target stack");
}

TEST_CASE("The plan of all open jobs is accepted as a whole, and the ledger stays true") {
    SmallShop small;
    const AllJobsPlan all = planAllJobs(small.shop);
    const std::vector<ReservedJob> reserved = reserveAllJobs(small.shop, all);
    REQUIRE(reserved.size() == 2);
    const inventory::StockLedger ledger(small.shop);
    for (std::size_t j = 0; j < reserved.size(); ++j) {
        CHECK(reserved[j].job == all.jobs[j].name);
        std::map<std::string, std::int64_t> held;
        for (const auto& reservation : ledger.reservationsOf(reserved[j].job))
            held[reservation.bin + reservation.part] += reservation.quantity;
        std::int64_t pulled = 0;
        for (const auto& pull : all.plan.jobs[j].proposal->pulls) {
            CHECK(held[pull.bin + pull.part] == pull.quantity);
            pulled += pull.quantity;
        }
        CHECK(reserved[j].reserved.discs == pulled);
    }
    CHECK(inventory::verifyStock(small.shop).good());
    const AllJobsPlan after = planAllJobs(small.shop);
    CHECK(after.jobs.empty()); // both hold their discs
    CHECK(reserveAllJobs(small.shop, after).empty());
}

TEST_CASE("Of a plan of all open jobs that the drawers no longer bear out nothing is accepted") {
    SmallShop small;
    const AllJobsPlan all = planAllJobs(small.shop);
    inventory::StockLedger ledger(small.shop);
    (void)reservePlan(small.shop, planJob(small.shop, "J2"), 0);
    CHECK_THROWS(reserveAllJobs(small.shop, all));
    CHECK(ledger.reservationsOf("J1").empty());
    CHECK(inventory::verifyStock(small.shop).good());
}

TEST_CASE("A plan of all jobs is booked beside what others post, and made once more where they took of it") {
    SmallShop small;
    int plans = 0;
    const auto planBefore = [&](const std::function<void(const AllJobsPlan&)>& others) {
        return planAndReserveAll(small.shop, [&] {
            AllJobsPlan all = planAllJobs(small.shop);
            if (plans++ == 0) others(all);
            return all;
        });
    };
    SECTION("others post elsewhere") {
        const auto done = planBefore([&](const AllJobsPlan&) { small.receive("SEAL", "A1", 1); });
        CHECK(plans == 1);
        CHECK(done.reserved.size() == 2);
        CHECK(done.overtaken.why.empty());
    }
    SECTION("others take the very discs") {
        const auto done = planBefore([&](const AllJobsPlan& all) {
            const auto& pull = all.plan.jobs.front().proposal->pulls.front();
            inventory::MovementLine away;
            away.kind = inventory::MovementKind::move;
            away.part = pull.part;
            away.bin = pull.bin;
            away.to_bin = "B1";
            away.condition = pull.used ? inventory::Condition::used : inventory::Condition::fresh;
            for (const auto& lot : inventory::stockSnapshot(small.shop).lots) {
                if (lot.part == away.part && lot.bin == away.bin && lot.condition == away.condition)
                    away.quantity = lot.available();
            }
            small.ledger.post({away});
        });
        CHECK(plans == 2);
        CHECK(done.reserved.size() == 2);
        CHECK_THAT(done.overtaken.why, Catch::Contains("only 0 available"));
        CHECK(done.overtaken.refused.empty());
    }
    CHECK(inventory::verifyStock(small.shop).good());
}

TEST_CASE("Each job of the plan of all is compared over the whole working range, with warping") {
    SmallShop small;
    const AllJobsPlan all = planAllJobs(small.shop);
    REQUIRE(all.warp_results.size() == all.jobs.size());
    REQUIRE(all.ranges.size() == all.jobs.size());
    for (std::size_t j = 0; j < all.jobs.size(); ++j) {
        CHECK(all.ranges[j].compared_lift_mm > 0);
        REQUIRE(all.warp_results[j]);
        CHECK_FALSE(all.warp_results[j]->sentence.empty());
    }
}

TEST_CASE("A plan of all open jobs that is stopped says so and tells no comparison that was not made") {
    SmallShop small;
    const AllJobsPlan all = planAllJobs(small.shop, {}, [](const planner::SharedProgress&) { return false; });
    CHECK_FALSE(all.plan.proved);
    for (const auto& result : all.warp_results) CHECK_FALSE(result);
}

TEST_CASE(
    "A plan that is stopped while warping is compared keeps what was found, and says what was not compared") {
    SmallShop small;
    double seconds = -1;
    int asked_since = 0; // the plan is made: its seconds stand still
    const AllJobsPlan all = planAllJobs(small.shop, {}, [&](const planner::SharedProgress& now) {
        asked_since = now.seconds == seconds ? asked_since + 1 : 0;
        seconds = now.seconds;
        return asked_since < 2; // the first job's two curves, and no more
    });
    REQUIRE(all.jobs.size() == 2);
    CHECK(all.plan.proved);
    CHECK_FALSE(all.plan.stopped);
    CHECK(all.plan.unplanned == 0);
    REQUIRE(all.warp_results.size() == 2);
    CHECK(all.warp_results[0]);
    CHECK(all.ranges[0].sentence.find("stopped") == std::string::npos);
    CHECK_FALSE(all.warp_results[1]);
    CHECK_THAT(all.ranges[1].sentence, Catch::Contains("The plan was stopped, so warping was not compared"));
}

TEST_CASE("A job whose face no drawer holds is told, and the other jobs get their plan all the same") {
    SmallShop small;
    inventory::JobStack wide;
    wide.role = inventory::StackRole::target;
    wide.rows = {{1, mm("23"), mm("0.10"), {}}, {1, mm("18"), mm("0.15"), {}}, {1, mm("10"), mm("0.30"), {}}};
    inventory::JobBook(small.shop).setStack("J1", wide);
    const AllJobsPlan all = planAllJobs(small.shop);
    REQUIRE(all.jobs.size() == 1);
    CHECK(all.plan.jobs.front().name == "J2");
    CHECK(all.plan.jobs.front().proposal);
    REQUIRE(all.left_out.size() == 1);
    CHECK_THAT(all.left_out.front(), Catch::Contains("J1") && Catch::Contains("23"));
}

TEST_CASE("Rules that no job can keep to are refused as for one job") {
    SmallShop small;
    SearchSettings settings;
    settings.rules.keep_in_stock = -1;
    CHECK_THROWS_WITH(planAllJobs(small.shop, settings), Catch::Contains("must not be negative"));
}
