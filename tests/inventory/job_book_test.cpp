// SPDX-License-Identifier: GPL-3.0-or-later
#include "support.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

StackRow row(std::int64_t count, const std::string& od, const std::string& thickness,
             std::optional<int> replaces = {}) {
    return {count, Length::parseMillimetres(od), Length::parseMillimetres(thickness), replaces};
}

} // namespace

TEST_CASE("a job comes back as it went in") {
    SmallShop small;
    JobBook jobs(small.shop);
    Job job = plainJob("J7");
    job.valve.seat_diameter = Length::parseMillimetres("20.5");
    job.valve.preload = Length();
    job.due = CalendarDate::parse("2026-03-20");
    job.priority = 3;
    job.note = "rider weighs 82 kg";
    jobs.add(job);
    CHECK(jobs.get("J7") == job);
    job.priority = 5;
    job.valve.seat_diameter.reset();
    jobs.update(job);
    CHECK(jobs.get("J7") == job);
}

TEST_CASE("the more urgent job comes first, then the one that is due sooner") {
    SmallShop small;
    JobBook jobs(small.shop);
    const auto add = [&](const std::string& code, int priority, const char* due) {
        Job job = plainJob(code);
        job.priority = priority;
        if (due != nullptr) job.due = CalendarDate::parse(due);
        jobs.add(job);
    };
    add("LATE", 1, "2026-04-01");
    add("SOON", 1, "2026-03-10");
    add("SOME-DAY", 1, nullptr);
    add("URGENT", 9, nullptr);
    std::vector<std::string> order;
    for (const Job& job : jobs.list()) order.push_back(job.code);
    CHECK(order == std::vector<std::string>{"URGENT", "SOON", "LATE", "SOME-DAY", "J1", "J2"});
    jobs.cancel("LATE");
    CHECK(jobs.listStatus(JobStatus::cancelled).size() == 1);
}

TEST_CASE("stacks are kept per role and leg, in order, and can be replaced") {
    SmallShop small;
    JobBook jobs(small.shop);
    const JobStack left{StackRole::asFound, 1, {row(4, "24", "0.10"), row(1, "22", "0.148")}};
    const JobStack right{StackRole::asFound, 2, {row(5, "24", "0.10")}};
    JobStack target{StackRole::target, 0, {row(6, "24", "0.10"), row(1, "12", "0.30")}};
    const JobStack build{
        StackRole::build, 0, {row(3, "24", "0.12", 1), row(1, "24", "0.10", 1), row(1, "12", "0.30")}};
    for (const JobStack& stack : {right, left, target, build}) jobs.setStack("J1", stack);
    CHECK(jobs.stacks("J1") == std::vector<JobStack>{left, right, target, build});
    CHECK(jobs.stack("J1", StackRole::build) == build);
    CHECK(jobs.stacks("J2").empty());
    target.rows.pop_back();
    jobs.setStack("J1", target);
    CHECK(jobs.stack("J1", StackRole::target) == target);
    jobs.setStack("J1", {StackRole::asFound, 2, {}});
    CHECK_FALSE(jobs.stack("J1", StackRole::asFound, 2));
}

TEST_CASE("a stack that cannot be is refused, and the one before it stays") {
    SmallShop small;
    JobBook jobs(small.shop);
    const JobStack target{StackRole::target, 0, {row(6, "24", "0.10")}};
    jobs.setStack("J1", target);
    const auto refused = [&](StackRole role, int leg, const StackRow& disc, const std::string& says) {
        INFO(says);
        JobStack stack{role, leg, {}};
        stack.rows.push_back(row(1, "24", "0.10"));
        stack.rows.push_back(disc);
        CHECK_THAT(refusalOf([&] { jobs.setStack("J1", stack); }), Contains(says));
    };
    refused(StackRole::target, 1, row(1, "24", "0.10"), "the same for every leg");
    refused(StackRole::asFound, 0, row(1, "24", "0.10"), "the job has legs 1 to 2");
    refused(StackRole::asFound, 3, row(1, "24", "0.10"), "the job has legs 1 to 2");
    refused(StackRole::target, 0, row(0, "24", "0.10"), "target row 2 has 0 discs");
    refused(StackRole::target, 0, row(1, "24", "0"), "thickness of 0.0 mm");
    refused(StackRole::target, 0, row(1, "-1", "0.1"), "outer diameter of -1.0 mm");
    refused(StackRole::target, 0, row(1, "24", "0.1", 1), "only rows of a build stack");
    refused(StackRole::build, 0, row(1, "24", "0.1", 2), "the target has 1 rows");
    refused(StackRole::build, 0, row(1, "24", "0.1", 0), "counted from 1");
    CHECK(jobs.stacks("J1") == std::vector<JobStack>{target});
}

TEST_CASE("a job's consumables are kept in order, each part once") {
    SmallShop small;
    JobBook jobs(small.shop);
    const std::vector<JobConsumable> wanted{{"SEAL", 2, "lip torn"}, {"S24-10", 1, ""}};
    jobs.setConsumables("J1", wanted);
    CHECK(jobs.consumables("J1") == wanted);
    CHECK_THAT(refusalOf([&] {
                   jobs.setConsumables("J1", {{"SEAL", 1, ""}, {"SEAL", 1, ""}});
               }),
               Contains("already"));
    CHECK_THAT(refusalOf([&] { jobs.setConsumables("J1", {{"NOPE", 1, ""}}); }), Contains("no part 'NOPE'"));
    CHECK_THAT(refusalOf([&] { jobs.setConsumables("J1", {{"SEAL", 0, ""}}); }), Contains("1 or more"));
    CHECK(jobs.consumables("J1") == wanted);
}

TEST_CASE("a job that cannot be is refused, and the sentence never names the customer") {
    SmallShop small;
    JobBook jobs(small.shop);
    struct Bad {
        std::string says;
        std::function<void(Job&)> spoil;
    };
    const std::vector<Bad> bad{
        {"is there already", [](Job& j) { j.code = "J1"; }},
        {"no component model 'X'", [](Job& j) { j.model = "X"; }},
        {"has 0 legs", [](Job& j) { j.legs = 0; }},
        {"before it was opened", [](Job& j) { j.due = CalendarDate::parse("2026-02-28"); }},
        {"priority 10", [](Job& j) { j.priority = 10; }},
        {"clamp diameter of 0.0 mm", [](Job& j) { j.valve.clamp_od = Length(); }},
        {"not above its inner diameter",
         [](Job& j) { j.valve.port_outer_diameter = j.valve.port_inner_diameter; }},
        {"preload of -0.10 mm", [](Job& j) { j.valve.preload = Length::fromMicrometres(-100); }},
        {"which valve", [](Job& j) { j.valve.name.clear(); }},
        {"the customer is not UTF-8", [](Job& j) { j.customer = "Private Person \xff"; }},
        {"the job code is empty", [](Job& j) { j.code.clear(); }},
    };
    for (const Bad& one : bad) {
        INFO(one.says);
        Job job = plainJob("NEW");
        one.spoil(job);
        const std::string sentence = refusalOf([&] { jobs.add(job); });
        CHECK_THAT(sentence, Contains(one.says) && !Contains("Private"));
    }
    CHECK(jobs.list().size() == 2);
}

TEST_CASE("a job that has ended is not changed any more") {
    SmallShop small;
    JobBook jobs(small.shop);
    jobs.close("J1");
    CHECK_THROWS_AS(jobs.update(plainJob("J1")), InputError);
    CHECK_THROWS_AS(jobs.setStack("J1", {StackRole::target, 0, {row(1, "24", "0.1")}}), InputError);
    CHECK_THROWS_AS(jobs.setConsumables("J1", {}), InputError);
    CHECK_THROWS_AS(jobs.cancel("J1"), InputError);
}
