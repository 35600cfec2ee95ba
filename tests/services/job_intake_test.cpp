// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/services/small_shop.h"

#include "app/services/job_intake.h"
#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;

namespace {

/// Another one of the job's model and valve, nothing said of it yet.
JobIntake anotherLike(SmallShop& small, const std::string& code) {
    const inventory::Job like = inventory::JobBook(small.shop).get(code);
    JobIntake intake;
    intake.job.model = like.model;
    intake.job.valve = like.valve;
    intake.job.legs = like.legs;
    return intake;
}

std::string refusalOf(const std::function<void()>& act) {
    try {
        act();
    } catch (const InputError& refusal) {
        return refusal.what();
    }
    return "nothing was refused";
}

} // namespace

TEST_CASE("A job that comes in without a code takes the next number and today's date") {
    SmallShop small;
    inventory::JobBook jobs(small.shop);
    CHECK(openJob(small.shop, anotherLike(small, "J1")) == "J3");
    CHECK(jobs.get("J3").opened == small_shop_time.date());
    CHECK(jobs.get("J3").status == inventory::JobStatus::open);
}

TEST_CASE("Job numbers keep their zeros, follow the latest kind of code, and pass over what is no number") {
    SmallShop small;
    const auto open = [&](const std::string& code) {
        JobIntake intake = anotherLike(small, "J1");
        intake.job.code = code;
        return openJob(small.shop, intake);
    };
    open("WS-0099");
    CHECK(nextJobCode(small.shop) == "WS-0100");
    open("WS-0007-LATE");
    open("WS-123456789012"); // a bar code, not a count
    CHECK(nextJobCode(small.shop) == "WS-0100");
    const TemporaryFolder folder;
    auto empty = inventory::ShopFile::create(folder.shop("empty.db"));
    CHECK(nextJobCode(empty) == "JOB-0001");
}

TEST_CASE("The latest job on the same valve of the same model lends its sizes, another valve does not") {
    SmallShop small;
    JobIntake intake = anotherLike(small, "J1");
    intake.job.valve.seat_diameter = mm("20.5");
    const std::string later = openJob(small.shop, intake);
    const inventory::Job first = inventory::JobBook(small.shop).get("J1");
    const auto like = latestJobLike(small.shop, first.model, first.valve.name);
    REQUIRE(like);
    CHECK(like->code == later);
    CHECK(like->valve.seat_diameter == mm("20.5"));
    CHECK_FALSE(latestJobLike(small.shop, first.model, "mid"));
    CHECK_FALSE(latestJobLike(small.shop, "FK-OTHER", first.valve.name));
}

TEST_CASE("A component of a model that the shop has not had brings its model with it") {
    SmallShop small;
    JobIntake intake = anotherLike(small, "J1");
    intake.job.model = "SH-NEW-46";
    CHECK_THAT(refusalOf([&] { openJob(small.shop, intake); }), Contains("SH-NEW-46"));
    intake.new_model =
        inventory::ComponentModel{"SH-NEW-46", inventory::ComponentKind::shock, "invented", 1, "", {}};
    intake.job.legs = 1;
    const std::string code = openJob(small.shop, intake);
    CHECK(inventory::JobBook(small.shop).get(code).model == "SH-NEW-46");
    CHECK(inventory::ComponentModels(small.shop).find("SH-NEW-46")->kind == inventory::ComponentKind::shock);
}

TEST_CASE("A job whose target cannot exist on its valve is not opened, and its new model is not kept") {
    SmallShop small;
    JobIntake intake = anotherLike(small, "J1");
    intake.job.model = "FK-NEW";
    intake.new_model = inventory::ComponentModel{"FK-NEW", inventory::ComponentKind::fork, "", 2, "", {}};
    intake.target = bookRows("1 x 6.0 x 0.10"); // smaller than the clamp
    const std::size_t before = inventory::JobBook(small.shop).list().size();
    CHECK_THAT(refusalOf([&] { openJob(small.shop, intake); }), Contains("row 1"));
    CHECK(inventory::JobBook(small.shop).list().size() == before);
    CHECK_FALSE(inventory::ComponentModels(small.shop).find("FK-NEW"));
    intake.target = bookRows("4 x 24.0 x 0.10; 1 x 18.0 x 0.15");
    const std::string code = openJob(small.shop, intake);
    CHECK(inventory::JobBook(small.shop).stack(code, inventory::StackRole::target)->rows == intake.target);
}

TEST_CASE("Rings are refused for a job's book instead of becoming whole discs") {
    CHECK_THAT(refusalOf([] { (void)bookRows("2 x 24.0 x 0.10; 1 x 24.0 x 0.20 ring 19.0"); }),
               Contains("row 2 is a ring with a bore of 19.0 mm"));
}

TEST_CASE(
    "A job is changed while it lives, but its valve not under the target or under what is taken for it") {
    SmallShop small;
    inventory::JobBook jobs(small.shop);
    const auto change = [&](const std::function<void(inventory::Job&)>& edit) {
        const inventory::Job before = jobs.get("J1");
        inventory::Job wanted = before;
        edit(wanted);
        changeJob(small.shop, before, wanted);
    };
    const auto bore = [](inventory::Job& job) { job.valve.shim_id = mm("6.2"); };
    change([](inventory::Job& job) {
        job.priority = 7;
        job.due = inventory::CalendarDate::parse("2026-04-01");
    });
    CHECK(jobs.get("J1").priority == 7);
    CHECK(jobs.get("J1").due == inventory::CalendarDate::parse("2026-04-01"));

    CHECK_THROWS_AS(change([](inventory::Job& job) {
                        job.valve.clamp_od = mm("30"); // wider than any disc of the target
                        job.valve.port_inner_diameter = mm("35");
                        job.valve.port_outer_diameter = mm("40");
                    }),
                    InputError);
    CHECK(jobs.get("J1").valve.clamp_od != mm("30"));

    small.ledger.reserve("J1", {{shimCode("18", "0.15"), "A1", inventory::Condition::fresh, 2}});
    change([](inventory::Job& job) { job.priority = 8; }); // what does not touch the valve may change
    CHECK_THAT(refusalOf([&] { change(bore); }), Contains("release them"));
    small.ledger.pullAll("J1");
    REQUIRE(jobs.get("J1").status == inventory::JobStatus::pulled);
    CHECK_THAT(refusalOf([&] { change(bore); }), Contains("pulled for the valve as it was"));
    CHECK(jobs.get("J1").valve.shim_id != mm("6.2"));
}

TEST_CASE("What somebody else has changed meanwhile is not put back") {
    SmallShop small;
    inventory::JobBook jobs(small.shop);
    const inventory::Job seen = jobs.get("J1");
    inventory::Job theirs = seen;
    theirs.priority = 9;
    changeJob(small.shop, seen, theirs);
    inventory::Job ours = seen;
    ours.note = "ours";
    CHECK_THAT(refusalOf([&] { changeJob(small.shop, seen, ours); }), Contains("meanwhile"));
    CHECK(jobs.get("J1") == theirs);
    // Discs that were reserved meanwhile are no such change.
    small.ledger.reserve("J1", {{shimCode("18", "0.15"), "A1", inventory::Condition::fresh, 2}});
    ours = theirs;
    ours.note = "ours";
    changeJob(small.shop, theirs, ours);
    CHECK(jobs.get("J1").note == "ours");
}
