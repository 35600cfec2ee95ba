// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/services/small_shop.h"

#include "app/services/folded_text.h"
#include "app/services/job_list.h"
#include "app/services/job_target.h"
#include "app/services/stock_flow.h"
#include "inventory/job_end.h"
#include "inventory/stock_verify.h"
#include "planner/stack/stack_json.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;
using inventory::JobStatus;

namespace {

using Codes = std::vector<std::string>;

Codes listed(SmallShop& small, const JobFilter& filter) {
    Codes codes;
    for (const auto& job : listedJobs(small.shop, filter)) codes.push_back(job.code);
    return codes;
}

JobFilter byWords(const std::string& words, JobFilter::Which which = JobFilter::Which::atWork) {
    JobFilter filter;
    filter.which = which;
    filter.words = words;
    return filter;
}

/// The day of the shop's clock is 2026-03-09.
void say(SmallShop& small, const std::string& code, const std::string& customer, const std::string& due) {
    inventory::JobBook book(small.shop);
    inventory::Job job = book.get(code);
    job.customer = customer;
    job.due = inventory::CalendarDate::parse(due);
    book.update(job);
}

} // namespace

TEST_CASE("Jobs that are closed or given up leave the list, and come back when they are asked for") {
    SmallShop small;
    CHECK(listed(small, {}) == Codes{"J1", "J2"});
    closeJob(small.shop, "J1", OpenReservations::release);
    CHECK(listed(small, {}) == Codes{"J2"});
    cancelJob(small.shop, "J2", "");
    CHECK(listed(small, {}).empty());
    CHECK(listed(small, byWords("", JobFilter::Which::ended)) == Codes{"J1", "J2"});
    CHECK(listed(small, byWords("cancelled", JobFilter::Which::all)) == Codes{"J2"});
}

TEST_CASE("A job is late from the day after its due day on, as long as it has not ended") {
    SmallShop small;
    say(small, "J1", "", "2026-03-08");
    say(small, "J2", "", "2026-03-09");
    JobFilter late;
    late.late = true;
    CHECK(listed(small, late) == Codes{"J1"});
    inventory::JobBook book(small.shop);
    const auto today = small.shop.now().date();
    CHECK(daysLate(book.get("J1"), today) == 1);
    CHECK(lateText(1) == "1 day late");
    CHECK(daysLate(book.get("J2"), today) == 0);
    CHECK(daysLate(book.get("J2"), today.plusDays(40)) == 40);
    closeJob(small.shop, "J1", OpenReservations::release);
    CHECK(daysLate(book.get("J1"), today) == 0);
    late.which = JobFilter::Which::ended;
    CHECK_THROWS_WITH(listed(small, late), Contains("has ended is not late"));
}

TEST_CASE(
    "Customer, due day and priority find a job, in capitals or not, and no word is found across two fields") {
    SmallShop small;
    say(small, "J1", "Frau M\xC3\x9CLLER (invented)", "2026-03-20");
    say(small, "J2", "=1+1 \xD0\x98\xD0\xB2\xD0\xB0\xD0\xBD (invented)", "2026-04-02");
    CHECK(listed(small, byWords("m\xC3\xBCller")) == Codes{"J1"});
    CHECK(listed(small, byWords("MULLER")).empty());
    CHECK(listed(small, byWords("\xD0\xB8\xD0\x92\xD0\x90\xD0\xBD")) == Codes{"J2"});
    CHECK(listed(small, byWords("=1+1")) == Codes{"J2"});
    CHECK(listed(small, byWords("2026-03")) == Codes{"J1"});
    CHECK(listed(small, byWords("priority3 fork")) == Codes{"J2"});
    CHECK(listed(small, byWords("j1frau")).empty());
    JobFilter filter;
    filter.customer = "invented";
    CHECK(listed(small, filter) == Codes{"J1", "J2"});
    filter.least_priority = 4;
    CHECK(listed(small, filter) == Codes{"J1"});
    filter.least_priority = 10;
    CHECK_THROWS_WITH(listed(small, filter), Contains("0 to 9"));
    filter.least_priority.reset();
    filter.due_until = inventory::CalendarDate::parse("2026-04-01");
    CHECK(listed(small, filter) == Codes{"J1"});
}

TEST_CASE("Folding leaves what is no UTF-8 as it is") {
    CHECK(folded("ABC \xC3\x84 \xC4\x80 \xC5\xBD \xCE\xA9") == "abc \xC3\xA4 \xC4\x81 \xC5\xBE \xCF\x89");
    for (const std::string odd : {"\xC3", "\xC3(", "\xFF\xFE", "\xE2\x82\xAC", "\xC3\x97"})
        CHECK(folded(odd) == odd);
}

TEST_CASE("A job that has ended is opened again as the ledger has it, and not twice") {
    SmallShop small;
    const std::string disc = shimCode("24", "0.12");
    small.ledger.reserve("J1", {{disc, "A2", inventory::Condition::fresh, 4, shimCode("24", "0.10")}});
    CHECK_THROWS_WITH(inventory::reopenJob(small.shop, "J1"), Contains("'J1' is reserved"));
    closeJob(small.shop, "J1", OpenReservations::issue);
    const inventory::ReopenedJob reopened = inventory::reopenJob(small.shop, "J1");
    CHECK(reopened.was == JobStatus::closed);
    CHECK(reopened.now == JobStatus::pulled);
    CHECK_THROWS_WITH(inventory::reopenJob(small.shop, "J1"), Contains("'J1' is pulled"));
    closeJob(small.shop, "J1", OpenReservations::release);
    CHECK(inventory::reopenJob(small.shop, "J1").now == JobStatus::pulled);
    cancelJob(small.shop, "J2", "");
    CHECK(inventory::reopenJob(small.shop, "J2").now == JobStatus::open);
    CHECK_THROWS_WITH(inventory::reopenJob(small.shop, "J9"), Contains("no job 'J9'"));
    CHECK(inventory::verifyStock(small.shop).good());
}

TEST_CASE("Another program reopens and closes a job between two looks, and the second one is told",
          "[server]") {
    SmallShop small;
    closeJob(small.shop, "J1", OpenReservations::release);
    auto other =
        inventory::ShopFile::open(small.folder.shop("shop.db"), inventory::fixedClock(small_shop_time));
    inventory::reopenJob(other, "J1");
    CHECK_THROWS_WITH(inventory::reopenJob(small.shop, "J1"), Contains("'J1' is open"));
    closeJob(other, "J1", OpenReservations::release);
    CHECK_THROWS_WITH(saveTarget(small.shop, "J1", {{1, mm("24"), mm("0.10"), {}}}), Contains("is closed"));
}

TEST_CASE("A target is set from a stack of the job's valve, and another valve is refused or taken with it") {
    SmallShop small;
    const auto stack = [](const std::string& clamp, const std::string& extra) {
        return planner::parseStackJson(R"({"valve": {"clamp_od_mm": )" + clamp +
                                       R"(, "port_inner_diameter_mm": 13, "port_outer_diameter_mm": 20,
            "shim_id_mm": 6},)" + extra +
                                       R"( "discs": [{"count": 3, "od_mm": 24, "thickness_mm": 0.15}]})");
    };
    inventory::JobBook book(small.shop);
    const auto before = book.get("J1");
    CHECK(saveTarget(small.shop, "J1", stack("10", "")).changed);
    CHECK_FALSE(saveTarget(small.shop, "J1", stack("10", "")).changed);
    REQUIRE(book.stack("J1", inventory::StackRole::target)->rows.size() == 1);
    CHECK_THROWS_WITH(saveTarget(small.shop, "J1", stack("12", "")),
                      Contains("clamp diameter 12.0 mm, in the job 10.0 mm"));
    CHECK_THROWS_WITH(
        saveTarget(small.shop, "J1", stack("10", R"("material": {"elastic_modulus_mpa": 70000},)")),
        Contains("material of its own"));
    CHECK(book.get("J1") == before);
    const SavedTarget taken = saveTarget(small.shop, "J1", stack("12", ""), true);
    CHECK(taken.valve_changes.size() == 1);
    CHECK(book.get("J1").valve.clamp_od == mm("12"));
    small.ledger.reserve("J2", {{shimCode("24", "0.12"), "A2", inventory::Condition::fresh, 1, ""}});
    CHECK_THROWS_WITH(saveTarget(small.shop, "J2", stack("10", "")), Contains("release them"));
    CHECK_THROWS_WITH(saveTarget(small.shop, "J9", stack("10", "")), Contains("no job 'J9'"));
}
