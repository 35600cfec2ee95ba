// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/component_valves.h"

#include "app/services/history_text.h"
#include "app/services/job_costs.h"
#include "app/services/job_intake.h"
#include "app/services/job_record.h"
#include "app/services/pick_list.h"
#include "app/services/plan_all_jobs.h"
#include "app/services/reserve_plan.h"
#include "app/services/sheets/pick_list_sheet.h"
#include "app/services/sheets/strip_form_sheet.h"
#include "app/services/stock_flow.h"
#include "app/services/strip_form.h"
#include "app/services/wear_inspection.h"
#include "inventory/job_valves.h"
#include "inventory/stock_verify.h"
#include "inventory/strip_record.h"
#include "small_shop.h"
#include "zip_member.h"

#include <catch2/catch.hpp>

#include <random>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;
using inventory::JobBook;
using inventory::JobStack;
using inventory::JobStatus;
using inventory::StackRole;

namespace {

inventory::JobValve valveNamed(const std::string& name) {
    inventory::JobValve valve;
    valve.name = name;
    valve.clamp_od = mm("10");
    valve.port_inner_diameter = mm("13");
    valve.port_outer_diameter = mm("20");
    valve.shim_id = mm("6");
    return valve;
}

/// J1 with a rebound valve in leg 2 only, both with targets that the drawers can give as they are.
std::string withRebound(SmallShop& small) {
    small.receive(shimCode("24", "0.10"), "A1", 20);
    const std::string rebound = inventory::addJobValve(small.shop, "J1", valveNamed("rebound"), 2, 1);
    JobStack target;
    target.rows = {{3, mm("24"), mm("0.10"), {}}, {1, mm("10"), mm("0.30"), {}}};
    JobBook(small.shop).setStack(rebound, target);
    return rebound;
}

std::vector<ReservedJob> reserveComponent(inventory::ShopFile& shop, const std::string& job) {
    return planAndReserveAll(shop, [&] { return planAllJobs(shop, {}, {}, 60, job); }).reserved;
}

std::string sheetText(const std::filesystem::path& file) {
    return zipMember(readBytes(file), "xl/sharedStrings.xml");
}

} // namespace

TEST_CASE("all valves of a component are planned and reserved together, and no other job with them") {
    SmallShop small;
    const std::string rebound = withRebound(small);
    const auto reserved = reserveComponent(small.shop, rebound);
    REQUIRE(reserved.size() == 2);
    CHECK(JobBook(small.shop).get("J1").status == JobStatus::reserved);
    CHECK(JobBook(small.shop).get(rebound).status == JobStatus::reserved);
    CHECK(JobBook(small.shop).get("J2").status == JobStatus::open);
    std::int64_t of_rebound = 0;
    for (const auto& held : small.ledger.reservationsOf(rebound)) of_rebound += held.quantity;
    CHECK(of_rebound == 4); // one leg has it
}

TEST_CASE("one sheet takes the tech through the drawers once, with each valve's discs apart") {
    SmallShop small;
    const std::string rebound = withRebound(small);
    CHECK_THROWS_WITH(componentPickSheet(small.shop, "J1"), Contains("nothing is reserved for J1"));
    reserveComponent(small.shop, "J1");
    const ComponentPick pick = componentPickSheet(small.shop, "J1");
    REQUIRE(pick.valves.size() == 2);
    CHECK(pick.legs() == 2);
    CHECK(pick.pieces() == 12); // 2 x 4 and 1 x 4
    CHECK(pick.valveText(pick.valves[0]) == "compression");
    CHECK(pick.valveText(pick.valves[1]) == "rebound, leg 2");
    const auto walk = pick.walk();
    REQUIRE(walk.size() == 6); // three sizes and the seals; two sizes
    for (std::size_t i = 1; i < walk.size(); ++i)
        CHECK(walk[i - 1].line->walking_order <= walk[i].line->walking_order);
    for (const ComponentPick::Stop& stop : walk) {
        const auto by_leg = pick.byLeg(stop);
        REQUIRE(by_leg.size() == 2);
        CHECK(by_leg[0].has_value() == (stop.valve == &pick.valves[0]));
        CHECK(by_leg[0].value_or(0) + by_leg[1].value_or(0) == stop.line->quantity);
    }
    CHECK(componentPickSheet(small.shop, rebound).valves.size() == 1); // that valve alone
    const auto file = small.folder / "pick.xlsx";
    writePickListSheet(pick, file);
    const std::string text = sheetText(file);
    CHECK_THAT(text, Contains("Build sheet J1/rebound") && Contains("rebound, leg 2") &&
                         Contains("Build sheet J1<"));
}

TEST_CASE("a scanned drawer gives up what all valves want of it, a picked line one valve's") {
    SmallShop small;
    const std::string rebound = withRebound(small);
    reserveComponent(small.shop, "J1");
    const auto open = openPulls(small.shop, "J1");
    CHECK(open.size() == 6);
    const auto discs = shimCode("10", "0.30");
    (void)pullFromBin(small.shop, "J1", "A1", {discs, {}, {}, rebound});
    CHECK(openPulls(small.shop, "J1").size() == 5);
    const FlowStep step = pullFromBin(small.shop, "J1", "A1");
    CHECK(step.sentences.size() == 4);
    CHECK(JobBook(small.shop).get(rebound).status == JobStatus::pulled);
    CHECK(openPulls(small.shop, rebound).empty());
    (void)pullAll(small.shop, "J1");
    CHECK(JobBook(small.shop).get("J1").status == JobStatus::pulled);
    CHECK(inventory::verifyStock(small.shop).good());
}

TEST_CASE("release and close mean the whole component, and a further valve's code that valve alone") {
    SmallShop small;
    const std::string rebound = withRebound(small);
    reserveComponent(small.shop, "J1");
    CHECK(releaseJob(small.shop, rebound).quantity == 4);
    CHECK(JobBook(small.shop).get("J1").status == JobStatus::reserved);
    CHECK(releaseJob(small.shop, "J1").quantity == 10); // eight discs and two seals
    reserveComponent(small.shop, "J1");
    const EndedJob ended = closeJob(small.shop, "J1", OpenReservations::issue);
    CHECK(ended.issued == 14);
    CHECK(JobBook(small.shop).get(rebound).status == JobStatus::closed);
    const JobRecord record = jobRecord(small.shop, "J1");
    REQUIRE(record.valves.size() == 2);
    CHECK(record.valves[1].title == "rebound, leg 2");
    CHECK(record.valves[1].stack.size() == 2);
    CHECK(record.built);
    std::int64_t used = 0;
    for (const CostLine& line : jobCosts(small.shop, "J1").lines) used += line.quantity;
    CHECK(used == 14);
    // One history of the component, in the order in which it came about; of a valve that valve's.
    const std::vector<HistoryLine> history = jobHistory(small.shop, "J1");
    for (std::size_t i = 1; i < history.size(); ++i) CHECK(history[i - 1].number < history[i].number);
    CHECK(history.size() > jobHistory(small.shop, rebound).size());
    CHECK_FALSE(jobHistory(small.shop, rebound).empty());
}

TEST_CASE("one strip form has each valve in each of its legs once, and one inspection") {
    SmallShop small;
    const std::string rebound = withRebound(small);
    const auto stacks = [&](const std::string& job) {
        std::vector<std::string> texts;
        for (const StripForm::Stack& stack : stripForm(small.shop, job).stacks)
            texts.push_back(stack.found.job + " " + std::to_string(stack.found.leg));
        return texts;
    };
    CHECK(stacks("J1") == std::vector<std::string>{"J1 1", "J1 2", "J1/rebound 2"});
    CHECK(stacks(rebound) == std::vector<std::string>{"J1/rebound 2"});
    inventory::StripRecords(small.shop)
        .set({"J1", 2, small_shop_time, {{2, mm("24"), {mm("0.101")}, "", 0, "", ""}}});
    inventory::splitJobLegs(small.shop, "J1", 2);
    CHECK(stacks("J1") == std::vector<std::string>{"J1 2", "J1 1", "J1/rebound 2"}); // found once
    const auto file = small.folder / "strip.xlsx";
    writeStripFormSheet(stripForm(small.shop, "J1"), file);
    CHECK_THAT(sheetText(file), Contains("Strip J1, rebound, leg 2"));
    CHECK(inspectionSheet(small.shop, rebound).size() == inspectionSheet(small.shop, "J1").size());
}

TEST_CASE(
    "the valves that a model lists are added at once, and the next job's code follows the jobs' alone") {
    SmallShop small;
    inventory::ComponentModels models(small.shop);
    inventory::ComponentModel fork = models.get("FORK");
    for (const char* name : {"compression", "rebound", "base"}) fork.valves.push_back(valveNamed(name));
    models.update(fork);
    CHECK(addModelValves(small.shop, "J1") == std::vector<std::string>{"J1/rebound", "J1/base"});
    CHECK(addModelValves(small.shop, "J1/base").empty());
    inventory::addJobValve(small.shop, "J1", valveNamed("mid 7"), 1, 2);
    CHECK(nextJobCode(small.shop) == "J3");
    CHECK(otherValves(small.shop, "J1/base").size() == 3);
}

// What the sheet says is held against what the tables say, read by none of its code.
TEST_CASE("whatever valves random components have, the sheet holds what is reserved, each disc once, and no "
          "other") {
    std::mt19937 random(20261130);
    const auto draw = [&](int least, int most) {
        return std::uniform_int_distribution<int>(least, most)(random);
    };
    for (int round = 0; round < 12; ++round) {
        INFO("round " << round);
        SmallShop small;
        for (const char* size : {"0.10", "0.12"}) small.receive(shimCode("24", size), "A2", 60);
        small.receive(shimCode("10", "0.30"), "F1", 60);
        JobBook jobs(small.shop);
        std::vector<std::string> valves{"J1"};
        if (draw(0, 1) == 1) valves.push_back(inventory::splitJobLegs(small.shop, "J1", 2));
        for (const char* name : {"rebound", "base", "mid"}) {
            if (draw(0, 1) == 0) continue;
            const int first = draw(1, 4);
            valves.push_back(
                inventory::addJobValve(small.shop, "J1", valveNamed(name), first, draw(1, 5 - first)));
            JobStack target;
            target.rows = {{draw(1, 3), mm("24"), mm(draw(0, 1) == 0 ? "0.10" : "0.12"), {}},
                           {draw(1, 2), mm("10"), mm("0.30"), {}}};
            jobs.setStack(valves.back(), target);
        }
        const auto reserved = reserveComponent(small.shop, valves.back());
        CHECK(reserved.size() == valves.size());
        const ComponentPick pick = componentPick(small.shop, "J1");
        CHECK(pick.valves.size() == valves.size());
        std::map<std::tuple<std::string, std::string, std::string>, std::int64_t> told, held;
        for (const ComponentPick::Stop& stop : pick.walk()) {
            std::int64_t sum = 0;
            const auto by_leg = pick.byLeg(stop);
            const inventory::Job valve = jobs.get(stop.valve->job);
            for (std::size_t leg = 0; leg < by_leg.size(); ++leg) {
                const int number = static_cast<int>(leg) + 1;
                CHECK(by_leg[leg].has_value() == (number >= valve.first_leg && number <= lastLeg(valve)));
                sum += by_leg[leg].value_or(0);
            }
            CHECK(sum == stop.line->quantity);
            told[{stop.valve->job, stop.line->bin, stop.line->part}] += sum;
        }
        for (const auto& reservation : small.ledger.reservations())
            held[{reservation.job, reservation.bin, reservation.part}] += reservation.quantity;
        CHECK(told == held);
        // Each valve gets as many discs as its target has, in each of its legs.
        for (const std::string& code : valves) {
            const inventory::Job valve = jobs.get(code);
            std::int64_t wanted = 0, got = 0;
            for (const auto& row : targetRows(small.shop, code)) wanted += row.count * valve.legs;
            for (const auto& [key, quantity] : held)
                if (std::get<0>(key) == code && std::get<2>(key) != "SEAL") got += quantity;
            CHECK(wanted == got);
        }
        (void)pullAll(small.shop, "J1");
        for (const std::string& code : valves) CHECK(jobs.get(code).status == JobStatus::pulled);
        CHECK(inventory::verifyStock(small.shop).good());
    }
}
