// SPDX-License-Identifier: GPL-3.0-or-later
// What was wished of a job's stacks: kept with them, told on its papers and at the next strip of the
// component; and the lift that a valve works up to.
#include "small_shop.h"

#include "app/services/job_steps.h"
#include "app/services/job_wishes.h"
#include "app/services/pick_list.h"
#include "app/services/plan_all_jobs.h"
#include "app/services/reserve_plan.h"
#include "app/services/stock_to_request.h"
#include "app/services/strip_form.h"
#include "inventory/model_flow.h"
#include "inventory/stock_verify.h"
#include "planner/mechanics/stack_lift.h"
#include "planner/stack/stack_text.h"

#include <fmt/format.h>

#include <catch2/catch.hpp>

#include <algorithm>
#include <array>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;

namespace {

const std::string softer = "0.1:0.9,0.3:1";

/// On the valve of a job of the small shop, or on another clamp.
planner::StackSpec stackOf(const char* text, const char* clamp = "10") {
    return {{mm(clamp), mm("13"), mm("20"), mm("6"), {}, {}}, planner::parseStackText(text)};
}

std::vector<inventory::StackRow> targetOf(inventory::ShopFile& shop, const std::string& job) {
    return inventory::JobBook(shop).stack(job, inventory::StackRole::target)->rows;
}

/// By the curve of one stack followed for itself, which nothing of the wishes uses.
double pressureAt(const inventory::Job& job, const std::vector<inventory::StackRow>& rows, double lift_mm) {
    planner::StackLift lift(plannerStack(job, rows));
    return lift.overLift(lift_mm, planner::Regime::large, 30).curve.points().back().pressure_mpa;
}

double changeAt(const inventory::Job& job, const std::vector<inventory::StackRow>& from,
                const std::vector<inventory::StackRow>& to, double lift_mm) {
    return 100 * (pressureAt(job, to, lift_mm) / pressureAt(job, from, lift_mm) - 1);
}

/// The per cent that a sentence tells before these words.
double toldBefore(const std::string& sentence, const std::string& words) {
    const std::size_t end = sentence.find(" % " + words);
    REQUIRE(end != std::string::npos);
    return std::stod(sentence.substr(sentence.find_last_of(' ', end - 1) + 1));
}

void tellWorkingLift(inventory::ShopFile& shop, const std::string& job, const char* lift) {
    const inventory::Job of = inventory::JobBook(shop).get(job);
    inventory::ComponentModels models(shop);
    inventory::ComponentModel model = models.get(of.model);
    if (model.valves.empty()) {
        model.valves.push_back(of.valve);
        models.update(model);
    }
    inventory::ModelFlow flow = inventory::ModelFlows(shop).get(of.model, of.valve.name);
    flow.working_lift = mm(lift);
    inventory::ModelFlows(shop).update(flow);
}

} // namespace

TEST_CASE(
    "a stack that is made the target keeps the one that was, and says what was wished and what it gives") {
    SmallShop small;
    const auto before = targetOf(small.shop, "J1");
    const auto stack = stackOf("1 x 24 x 0.10; 1 x 24 x 0.12; 1 x 18 x 0.15; 1 x 10 x 0.30");
    const auto kept = keepAsTarget(small.shop, "J1", stack, planner::WantedFactor::read(softer), "A. B.");
    CHECK(targetOf(small.shop, "J1").size() == 4);
    CHECK(kept.made == small_shop_time);
    const auto tries = inventory::StackTries(small.shop).ofJob("J1");
    REQUIRE(tries.size() == 2);
    const auto base = std::find_if(tries.begin(), tries.end(),
                                   [](const auto& one) { return one.kept_as == inventory::TryUse::base; });
    REQUIRE(base != tries.end());
    CHECK(base->rows == before);
    CHECK(kept.base == base->name);
    const auto wishes = jobWishes(small.shop, "J1");
    REQUIRE(wishes.size() == 1);
    INFO(wishes.front());
    const auto job = inventory::JobBook(small.shop).get("J1");
    CHECK_THAT(wishes.front(), Contains("A. B., 2026-03-09") && Contains("10 % softer up to 0.10 mm"));
    for (const double lift : {0.1, 0.3})
        CHECK(toldBefore(wishes.front(), "at " + planner::liftText(lift)) ==
              Approx(changeAt(job, before, targetOf(small.shop, "J1"), lift)).margin(0.2));
    CHECK(inventory::verifyStock(small.shop).good());
    // Another target afterwards: that wish is no longer what it stands for, but it is not forgotten.
    static_cast<void>(keepAsTarget(small.shop, "J1", stackOf("2 x 24 x 0.10; 1 x 10 x 0.30"), {}, ""));
    CHECK(jobWishes(small.shop, "J1").empty());
    CHECK(inventory::StackTries(small.shop).ofJob("J1").size() == 4);
}

TEST_CASE("nothing of it is kept where the stack cannot be the target") {
    SmallShop small;
    const auto before = targetOf(small.shop, "J1");
    const auto refused = [&](const planner::StackSpec& stack) {
        CHECK_THROWS_AS(keepAsTarget(small.shop, "J1", stack, {}, ""), InputError);
        CHECK(targetOf(small.shop, "J1") == before);
        CHECK(inventory::JobBook(small.shop).get("J1").valve.clamp_od == mm("10"));
        CHECK(inventory::StackTries(small.shop).ofJob("J1").empty());
    };
    const auto rows = planner::parseStackText("2 x 24 x 0.10; 1 x 10 x 0.30");
    refused(stackOf("2 x 24 x 0.10; 1 x 18 x 0.15; 1 x 10 x 0.30")); // it is the target already
    const planner::StackSpec elsewhere({mm("10"), mm("12"), mm("20"), mm("6"), {}, {}}, rows);
    refused(elsewhere); // other ports than the job's
    CHECK_THROWS_AS(keepTry(small.shop, "J1", "", elsewhere, {}, ""), InputError);
    CHECK(inventory::StackTries(small.shop).ofJob("J1").empty());
}

TEST_CASE("a stack on another clamp is kept, made the target and built with its clamp") {
    SmallShop small;
    const auto stack = stackOf("2 x 24 x 0.10; 1 x 18 x 0.15; 1 x 11 x 0.30", "11");
    const auto tried = keepTry(small.shop, "J1", "wider", stack, {}, "");
    CHECK(tried.clamp_od == mm("11"));
    CHECK(triedStack(small.shop, tried) == stack);
    CHECK_THAT(jobTries(small.shop, "J1").front().given, Contains("+")); // a wider clamp is stiffer
    static_cast<void>(keepAsTarget(small.shop, "J1", stack, {}, ""));
    CHECK(inventory::JobBook(small.shop).get("J1").valve.clamp_od == mm("11"));
    const auto tries = inventory::StackTries(small.shop).ofJob("J1");
    const auto base = std::find_if(tries.begin(), tries.end(),
                                   [](const auto& one) { return one.kept_as == inventory::TryUse::base; });
    REQUIRE(base != tries.end());
    CHECK(base->clamp_od == mm("10"));
}

TEST_CASE("a build on another clamp keeps it on every paper and until it is released") {
    SmallShop small;
    small.addPart(shimCode("11", "0.30"), "11", "0.30", {});
    small.receive(shimCode("11", "0.30"), "A1", 6);
    SearchSettings settings;
    settings.rules.clamp_od_step = mm("1");
    settings.rules.only_new = true; // which nobody has read, so that they are as marked
    settings.rules.wanted = planner::WantedFactor::read("0:1.2");
    const JobPlan plan = planJob(small.shop, "J1", settings);
    const auto& proposals = plan.result.proposals;
    const auto other = std::find_if(proposals.begin(), proposals.end(),
                                    [](const auto& one) { return one.clamp_od.has_value(); });
    REQUIRE(other != proposals.end());
    const auto at = static_cast<std::size_t>(other - proposals.begin());
    CHECK(plan.warp_results.at(at).round_to_mm > 0);
    static_cast<void>(reservePlan(small.shop, plan, at));
    const auto build = inventory::JobBook(small.shop).stack("J1", inventory::StackRole::build);
    REQUIRE(build);
    CHECK(build->clamp_od == mm("11"));
    const PickList sheet = pickSheet(small.shop, "J1");
    REQUIRE(sheet.curves.size() == 3);
    CHECK_THAT(sheet.curves[0], Contains("clamp of 11.0 mm") && Contains("10.0 mm"));
    // What the sheet says of its curve is what following both stacks says.
    const auto job = inventory::JobBook(small.shop).get("J1");
    inventory::Job on_clamp = job;
    on_clamp.valve.clamp_od = mm("11");
    auto rows = build->rows;
    for (auto& row : rows) row.replaces.reset();
    const double full =
        100 * (pressureAt(on_clamp, rows, 0.3) / pressureAt(job, targetOf(small.shop, "J1"), 0.3) - 1);
    const std::string at_full = sheet.curves[1].substr(sheet.curves[1].find("at full lift ") + 13);
    CHECK(std::stod(at_full) == Approx(full).margin(0.2));
    // Another build, on the valve's own clamp, has none.
    inventory::StockLedger(small.shop).releaseAll("J1", "another one");
    const JobPlan plain = planJob(small.shop, "J1");
    static_cast<void>(reservePlan(small.shop, plain, 0));
    CHECK_FALSE(inventory::JobBook(small.shop).stack("J1", inventory::StackRole::build)->clamp_od);
}

TEST_CASE("tries stand side by side, and none of them touches the job's target") {
    SmallShop small;
    const auto before = targetOf(small.shop, "J1");
    const auto job = inventory::JobBook(small.shop).get("J1");
    CHECK(
        keepTry(small.shop, "J1", "", stackOf("3 x 24 x 0.10; 1 x 18 x 0.15; 1 x 10 x 0.30"), {}, "").name ==
        "Try 1");
    CHECK(keepTry(small.shop, "J1", "soft", stackOf("1 x 24 x 0.10; 1 x 18 x 0.15; 1 x 10 x 0.30"),
                  planner::WantedFactor::read(softer), "K.")
              .name == "soft");
    CHECK(targetOf(small.shop, "J1") == before);
    const auto tries = jobTries(small.shop, "J1");
    REQUIRE(tries.size() == 2);
    CHECK(tries[0].wish.empty());
    CHECK_THAT(tries[1].wish, Contains("10 % softer"));
    // The softer one is softer, the stiffer one stiffer, by the curves followed for themselves.
    CHECK_THAT(tries[0].given, Contains("+"));
    CHECK_THAT(tries[1].given, Contains("-"));
    CHECK(pressureAt(job, tries[0].tried.rows, 0.2) > pressureAt(job, before, 0.2));
}

TEST_CASE("what was wished of a build is on its pick list and told at the next strip of the component") {
    SmallShop small;
    inventory::JobBook book(small.shop);
    inventory::Job job = book.get("J1");
    job.component = "SN-104";
    book.update(job);
    SearchSettings settings;
    settings.rules.wanted = planner::WantedFactor::read("0:1.15");
    settings.rules.most_choice_deviation = 1;
    const JobPlan plan = planJob(small.shop, "J1", settings);
    REQUIRE_FALSE(plan.result.proposals.empty());
    CHECK(jobWishes(small.shop, "J1").empty());
    static_cast<void>(reservePlan(small.shop, plan, 0, "K."));
    const auto wishes = jobWishes(small.shop, "J1");
    REQUIRE(wishes.size() == 1);
    CHECK_THAT(wishes.front(), Contains("K., 2026-03-09") && Contains("15 % stiffer at every lift"));
    const PickList sheet = pickSheet(small.shop, "J1");
    REQUIRE(sheet.curves.size() == 2);
    CHECK_THAT(sheet.curves.front(), Contains("over 0.30 mm of lift"));
    const std::string words = "15 % stiffer at every lift, against the target. The build gives ";
    CHECK_THAT(sheet.curves.back(), Contains(words)); // of the discs as they were read

    inventory::Job next = job;
    next.code = "J9";
    next.opened = inventory::CalendarDate::parse("2026-06-01");
    next.due.reset();
    book.add(next);
    const auto told = stripForm(small.shop, "J9").earlier_wishes;
    REQUIRE(told.size() == 1);
    CHECK(told.front() == "J1: " + wishes.front());
    next.code = "J10";
    next.component = "SN-105"; // another component has nothing to do with it
    book.add(next);
    CHECK(stripForm(small.shop, "J10").earlier_wishes.empty());

    inventory::StockLedger(small.shop).releaseAll("J1", "thought better of it");
    CHECK(jobWishes(small.shop, "J1").empty()); // it is not what will be built
    CHECK(stripForm(small.shop, "J9").earlier_wishes.empty());
}

TEST_CASE("a valve's working lift is as far as its curves are compared, unless another one is asked for") {
    SmallShop small;
    CHECK(checkJob(small.shop, "J1").request.rules.working_lift_mm == 0.30);
    tellWorkingLift(small.shop, "J1", "0.45");
    CHECK(checkJob(small.shop, "J1").request.rules.working_lift_mm == 0.45);
    SearchSettings asked;
    asked.rules.working_lift_mm = 0.2;
    CHECK(checkJob(small.shop, "J1", asked).request.rules.working_lift_mm == 0.45);
    asked.lift_is_asked = true;
    CHECK(checkJob(small.shop, "J1", asked).request.rules.working_lift_mm == 0.2);
    CHECK(jobSteps(small.shop, "J1", {}, planner::Regime::large).lifts_mm.back() == Approx(0.45));
    CHECK(jobSteps(small.shop, "J1", 0.2, planner::Regime::large).lifts_mm.back() == Approx(0.2));
    const auto all = planAllJobs(small.shop);
    REQUIRE_FALSE(all.ranges.empty());
    CHECK(all.ranges.front().working_lift_mm == 0.45);
}
