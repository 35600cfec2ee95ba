// SPDX-License-Identifier: GPL-3.0-or-later
// A look at one job reads only what the job asks for, and finds the same as reading everything.
#include "tests/services/small_shop.h"

#include "app/services/plan_job.h"
#include "app/services/reserve_plan.h"
#include "inventory/stock_snapshot.h"
#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::services;

namespace {

void checkSameShortages(inventory::ShopFile& shop, const char* job) {
    INFO(job);
    const JobCheck whole = checkJob(shop, job);
    const JobShortages look = jobShortages(shop, job);
    REQUIRE(look.shortages.size() == whole.shortages.size());
    for (std::size_t i = 0; i < look.shortages.size(); ++i)
        CHECK(look.shortages[i].sentence == whole.shortages[i].sentence);
    REQUIRE(look.consumables_short.size() == whole.consumables_short.size());
    for (std::size_t i = 0; i < look.consumables_short.size(); ++i)
        CHECK(look.consumables_short[i].sentence == whole.consumables_short[i].sentence);
}

} // namespace

TEST_CASE("A look at one job finds the shortages that a check of all drawers finds") {
    SmallShop small;
    checkSameShortages(small.shop, "J1");
    CHECK(jobShortages(small.shop, "J1").shortages.size() == 1);
    inventory::JobBook(small.shop).setConsumables("J1", {{"SEAL", 5, ""}});
    CHECK(jobShortages(small.shop, "J1").consumables_short.size() == 1);
    checkSameShortages(small.shop, "J1");
    const JobPlan plan = planJob(small.shop, "J2");
    REQUIRE_FALSE(plan.result.proposals.empty());
    reservePlan(small.shop, plan, 0);
    checkSameShortages(small.shop, "J2"); // what is reserved for it counts as its own
    checkSameShortages(small.shop, "J1"); // and is gone for the other
}

TEST_CASE("A look at a job that is not there, or has no target, says so as the check does") {
    SmallShop small;
    CHECK_THROWS_AS(jobShortages(small.shop, "J9"), InputError);
}

TEST_CASE("The lots of some parts are those of the whole snapshot, in the same order") {
    SmallShop small;
    const auto whole = inventory::stockSnapshot(small.shop);
    const auto some = inventory::stockSnapshotOf(
        small.shop, {"SEAL", shimCode("24", "0.12"), shimCode("18", "0.15"), "no such part"});
    CHECK(some.revision == whole.revision);
    std::vector<std::string> expected;
    for (const auto& lot : whole.lots) {
        if (lot.part == "SEAL" || lot.part == shimCode("24", "0.12") || lot.part == shimCode("18", "0.15"))
            expected.push_back(lot.bin + " " + lot.part + " " + std::to_string(lot.on_hand));
    }
    std::vector<std::string> found;
    for (const auto& lot : some.lots)
        found.push_back(lot.bin + " " + lot.part + " " + std::to_string(lot.on_hand));
    CHECK(expected.size() >= 3);
    CHECK(found == expected);
}
