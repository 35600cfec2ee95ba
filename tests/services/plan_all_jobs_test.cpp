#include "app/services/plan_all_jobs.h"

#include "app/services/plan_job.h"
#include "app/services/reserve_plan.h"
#include "tests/services/small_shop.h"

#include <catch2/catch.hpp>

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
