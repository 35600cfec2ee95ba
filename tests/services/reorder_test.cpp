// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/services/small_shop.h"

#include "app/services/plan_job.h"
#include "app/services/reorder.h"
#include "app/services/reorder_words.h"
#include "app/services/reserve_plan.h"
#include "inventory/wear_finding.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;

namespace {

const std::string face = shimCode("24", "0.10");

const ReorderLine* lineOf(const ReorderPlan& plan, const std::string& part, std::string* supplier = nullptr) {
    for (const SupplierOrder& order : plan.orders) {
        for (const ReorderLine& line : order.lines) {
            if (line.part != part) continue;
            if (supplier != nullptr) *supplier = order.supplier.name;
            return &line;
        }
    }
    return nullptr;
}

/// One part with a year of demand, one supplier; positions and figures to be changed by each test.
ReorderInputs oneSeal() {
    ReorderInputs inputs;
    inputs.made = small_shop_time;
    inventory::Part seal;
    seal.code = "SEAL";
    seal.kind = inventory::PartKind::oilSeal;
    seal.reorder_point = 1;
    inputs.parts = {seal};
    inputs.balances["SEAL"] = {"SEAL", 2, 0};
    std::vector<double> weeks;
    for (int week = 0; week < 52; ++week) weeks.push_back(week % 4 == 0 ? 2 : 0);
    inputs.demand["SEAL"] = planner::DemandHistory::ofPeriods(weeks);
    inputs.suppliers = {{"Invented Seals", 7, "EUR", {}, {}, {}, ""}};
    inputs.offers = {{"Invented Seals", "SEAL", 2, 800, "", {}}};
    return inputs;
}

} // namespace

TEST_CASE("A part is bought in packs, with the reason in words") {
    SmallShop small;
    const ReorderPlan plan = reorderPlan(small.shop);
    std::string supplier;
    const ReorderLine* line = lineOf(plan, face, &supplier);
    REQUIRE(line != nullptr);
    // 3 available, 8 wanted by two jobs, reorder point 6 of the catalogue: up to 7 beyond the jobs, 12 in
    // all. Three packs of 5 for 17.01 are cheaper than two of 10, with which an order of at least 60.00 would
    // begin.
    CHECK(supplier == "Invented Corner Shop");
    CHECK(line->short_for_jobs == 5);
    CHECK(line->packs == 3);
    CHECK(line->total() == 1701);
    CHECK(line->reason ==
          "5 short for J1, J2, available 3, reorder point 6, pack of 5, 12 wanted, 15 in whole packs");
    CHECK(lineOf(plan, shimCode("24", "0.12")) == nullptr); // 20 held, reorder point 4
    REQUIRE(plan.quality.size() == 1);
    CHECK(plan.quality.front().method == planner::PlanMethod::solver);
    CHECK_THAT(plan.quality.front().sentence, Contains("proved: 17.01 EUR"));
}

TEST_CASE(
    "Reserved pieces are not available, and a job that has a substitute wants the target's disc no more") {
    SmallShop small;
    inventory::JobBook(small.shop).cancel("J2");
    reservePlan(small.shop, planJob(small.shop, "J1"), 0);
    const ReorderPlan plan = reorderPlan(small.shop);
    const ReorderLine* line = lineOf(plan, face);
    REQUIRE(line != nullptr);
    CHECK(line->short_for_jobs == 0);
    CHECK(line->available() + line->pieces() > 6);
}

TEST_CASE("What is on order is not ordered again") {
    SmallShop small;
    small.order("Invented Discs", {0, face, 2, 10, 810, 0});
    CHECK(lineOf(reorderPlan(small.shop), face) == nullptr);
}

TEST_CASE("Minimum orders that are not reached and what nobody sells are told, and the rest still comes") {
    SmallShop small;
    inventory::JobBook(small.shop).setConsumables("J1", {{"SEAL", 9, ""}});
    small.addPart(shimCode("24", "0.15"), "24", "0.15", 8);
    inventory::SupplierList(small.shop)
        .addOffer({"Invented Discs", shimCode("24", "0.15"), 10, 900, "D3", {}});
    const ReorderPlan plan = reorderPlan(small.shop);
    REQUIRE(plan.unoffered.size() == 1);
    CHECK(plan.unoffered.front().part == "SEAL");
    CHECK(plan.unoffered.front().packs == 0);
    REQUIRE(plan.notes.size() == 2);
    CHECK_THAT(plan.notes[0],
               Contains("The order to Invented Discs comes to") && Contains("below its minimum of 60.00"));
    CHECK(plan.notes[1] == "SEAL is wanted, but no supplier offers it at a price");
    CHECK(lineOf(plan, shimCode("24", "0.15")) != nullptr);
}

TEST_CASE("The reorder point follows the ledger, the target of the part's class and the lead time") {
    ReorderInputs inputs = oneSeal();
    const auto point = [&] {
        inputs.balances["SEAL"].on_hand = 0;
        return lineOf(makeReorderPlan(inputs), "SEAL")->reorder_point.value();
    };
    const std::int64_t usual = point();
    CHECK(usual >= 2); // the catalogue says 1
    inputs.classes[""].service_per_mille = 998;
    const std::int64_t safer = point();
    CHECK(safer > usual);
    inputs.suppliers[0].lead_time_days = 40;
    const std::int64_t later = point();
    CHECK(later > safer);
    inputs.suppliers[0].lead_time_spread_days = 30;
    CHECK(point() > later);
    CHECK_THAT(lineOf(makeReorderPlan(inputs), "SEAL")->demand, Contains("in jobs of 2"));
}

TEST_CASE("A part that nobody has asked for in a year is not bought, whatever the catalogue says") {
    ReorderInputs inputs = oneSeal();
    inputs.balances["SEAL"].on_hand = 0;
    inputs.demand["SEAL"] = {60, {}};
    CHECK(makeReorderPlan(inputs).orders.empty());
    inputs.demand["SEAL"] = {5, {}}; // too new to know: the catalogue's figure
    CHECK(lineOf(makeReorderPlan(inputs), "SEAL")->reorder_point == 1);
    inputs.parts[0].reorder_point.reset(); // not reordered by the program
    CHECK(makeReorderPlan(inputs).orders.empty());
}

TEST_CASE("No more is bought than is used within the shelf life") {
    ReorderInputs inputs = oneSeal();
    inputs.balances["SEAL"].on_hand = 0;
    const std::int64_t plenty = lineOf(makeReorderPlan(inputs), "SEAL")->pieces();
    inputs.parts[0].shelf_life_months = 4;
    const ReorderPlan plan = makeReorderPlan(inputs);
    const ReorderLine* line = lineOf(plan, "SEAL");
    CHECK(line->pieces() < plenty);
    CHECK(line->pieces() <= 10); // about two a month
    CHECK_THAT(line->reason, Contains("held back by shelf life"));
}

TEST_CASE("A price break is used, and the line's price is that of its packs") {
    ReorderInputs inputs = oneSeal();
    inputs.balances["SEAL"].on_hand = 0;
    const std::int64_t packs = lineOf(makeReorderPlan(inputs), "SEAL")->packs;
    inputs.offers[0].breaks = {{packs + 1, 500}};
    const ReorderPlan plan = makeReorderPlan(inputs);
    const ReorderLine* line = lineOf(plan, "SEAL");
    CHECK(line->packs > packs);
    CHECK(line->price() == 500);
    CHECK(line->total() == line->packs * 500);
}

TEST_CASE("An order below its minimum is filled with what will be used in time, the shortest covered first") {
    ReorderInputs inputs = oneSeal();
    inputs.balances["SEAL"].on_hand = 0;
    inventory::Part ring = inputs.parts[0];
    ring.code = "RING";
    inputs.parts.push_back(ring);
    inputs.demand["RING"] = inputs.demand["SEAL"];
    inputs.balances["RING"] = {"RING", 12, 0};
    inputs.offers.push_back({"Invented Seals", "RING", 2, 700, "", {}});
    REQUIRE(lineOf(makeReorderPlan(inputs), "RING") == nullptr);
    const inventory::Hundredths alone = makeReorderPlan(inputs).orders.front().total();
    inputs.suppliers[0].minimum_order = alone + 1000;
    const ReorderPlan plan = makeReorderPlan(inputs);
    REQUIRE(lineOf(plan, "RING") != nullptr);
    CHECK_THAT(lineOf(plan, "RING")->reason, Contains("to reach the minimum order"));
    CHECK(plan.orders.front().total() >= alone + 1000);
    CHECK(plan.orders.front().total() < alone + 2000);
}

TEST_CASE("Wear parts that an inspection put off, and demand from elsewhere, are bought for too") {
    ReorderInputs inputs = oneSeal();
    inputs.balances["SEAL"].on_hand = 12;
    REQUIRE(makeReorderPlan(inputs).orders.empty());
    inputs.extra = {{"SEAL", 11, "put off at the inspection of J7", true}};
    CHECK_THAT(lineOf(makeReorderPlan(inputs), "SEAL")->reason,
               Contains("11 put off at the inspection of J7"));
    inputs.extra = {{"SEAL", 15, "to make J8 possible", false}};
    CHECK(lineOf(makeReorderPlan(inputs), "SEAL")->short_for_jobs == 3);
    inputs.extra = {{"NONE", 1, "", false}, {"SEAL", -2, "", false}};
    CHECK(makeReorderPlan(inputs).notes.size() == 2);

    SmallShop small;
    inventory::SupplierList(small.shop).addOffer({"Invented Corner Shop", "SEAL", 2, 700, "", {}});
    inventory::WearFinding finding;
    finding.job = "J1";
    finding.leg = 1;
    finding.part = "SEAL";
    finding.state = inventory::WearState::worn;
    finding.decision = inventory::WearDecision::defer;
    finding.quantity = 4;
    finding.reason = "holds for another season";
    inventory::WearBook(small.shop).record(finding);
    const ReorderPlan plan = reorderPlan(small.shop);
    CHECK_THAT(lineOf(plan, "SEAL")->reason, Contains("put off at the inspection of J1"));
}

TEST_CASE("What just these pieces would cost is told apart from what runs low") {
    SmallShop small;
    const ReorderPlan plan = purchasePlan(small.shop, {{shimCode("24", "0.12"), 4, "to make J1 possible"}});
    REQUIRE(plan.orders.size() == 1);
    CHECK(plan.orders.front().lines.size() == 1);
    CHECK(plan.orders.front().total() == 820);
}

TEST_CASE("Negative lead times, packs of zero, missing prices and mixed currencies are named, and the rest "
          "still comes") {
    ReorderInputs inputs = oneSeal();
    inputs.balances["SEAL"].on_hand = 0;
    inputs.suppliers.push_back({"Before Yesterday", -3, "EUR", {}, {}, {}, ""});
    inputs.suppliers.push_back({"Abroad", 3, "USD", {}, {}, {}, ""});
    inputs.offers.push_back({"Before Yesterday", "SEAL", 2, 1, "", {}});
    inputs.offers.push_back({"Invented Seals", "SEAL", 0, 100, "", {}});
    inputs.offers.push_back({"Invented Seals", "SEAL", 4, 0, "", {}});
    inputs.offers.push_back({"Abroad", "SEAL", 2, 1, "", {}});
    inputs.offers.push_back({"Invented Seals", "SEAL", 6, 2400, "", {}, {{3, 2500}}});
    inputs.offers.push_back({"Nobody", "SEAL", 2, 1, "", {}});
    const ReorderPlan plan = makeReorderPlan(inputs);
    REQUIRE(lineOf(plan, "SEAL") != nullptr);
    CHECK(lineOf(plan, "SEAL")->pack_price == 800);
    std::string all;
    for (const std::string& note : plan.notes) all += note + "\n";
    for (const char* piece : {"lead time below 0 days", "packs of 0", "has no price", "several currencies",
                              "do not come down", "no supplier of the shop"}) {
        CHECK_THAT(all, Contains(piece));
    }
    inputs.offers = {{"Invented Seals", "SEAL", 4, 0, "", {}}};
    CHECK(makeReorderPlan(inputs).unoffered.size() == 1);
}

TEST_CASE("Without a solver the plan comes by the rule, and says so with its gap") {
    SmallShop small;
    ReorderOptions options;
    options.solver.program.clear();
    const ReorderPlan plan = reorderPlan(small.shop, options);
    REQUIRE(plan.quality.size() == 1);
    CHECK(plan.quality.front().method == planner::PlanMethod::rule);
    CHECK_THAT(plan.quality.front().sentence, Contains("by the rule") && Contains("not installed"));
    CHECK(lineOf(plan, face) != nullptr);
}

TEST_CASE("The reason says how large the lot is and what made it so large") {
    ReorderInputs inputs = oneSeal();
    inputs.balances["SEAL"].on_hand = 0;
    const ReorderPlan usual = makeReorderPlan(inputs);
    const ReorderLine* line = lineOf(usual, "SEAL");
    REQUIRE(line->order_up_to > *line->reorder_point + 1);
    CHECK_THAT(line->reason,
               Contains("order up to " + std::to_string(line->order_up_to) + " (lot of " +
                        std::to_string(line->order_up_to - *line->reorder_point) + ": the economic order)"));
    inputs.classes[""].cover_months = 2; // about four pieces
    CHECK_THAT(lineOf(makeReorderPlan(inputs), "SEAL")->reason,
               Contains("demand of 2 months, the longest cover"));
    inputs.classes[""] = {};
    inputs.offers[0].breaks = {{line->packs + 1, 500}};
    CHECK_THAT(lineOf(makeReorderPlan(inputs), "SEAL")->reason,
               Contains("the economic order, at a price break"));
    inputs.parts[0].reorder_point.reset(); // nothing for stock: only what is asked for
    inputs.extra = {{"SEAL", 3, "wanted by hand", false}};
    CHECK_THAT(lineOf(makeReorderPlan(inputs), "SEAL")->reason, !Contains("lot of"));
}

TEST_CASE("The figures of the reason lead to the pieces that are bought, also where packs round them") {
    ReorderInputs inputs = oneSeal();
    inputs.balances["SEAL"].on_hand = 0;
    bool rounded_down = false;
    bool rounded_up = false;
    for (const std::int64_t pack : {1, 3, 4, 5, 7, 10}) {
        inputs.offers[0].pack_size = pack;
        inputs.offers[0].pack_price = 400 * pack;
        const ReorderPlan plan = makeReorderPlan(inputs);
        const ReorderLine* line = lineOf(plan, "SEAL");
        REQUIRE(line != nullptr);
        INFO(line->reason);
        CHECK(line->pieces() > *line->reorder_point); // whatever the rounding, the reorder point is passed
        const std::int64_t wanted = line->order_up_to;
        CHECK_THAT(line->reason, Contains(std::to_string(wanted) + " wanted"));
        rounded_down = rounded_down || line->pieces() < wanted;
        rounded_up = rounded_up || line->pieces() > wanted;
        const std::string packs = std::to_string(line->pieces()) + " in whole packs";
        CHECK((line->reason.find(packs) != std::string::npos) == (line->pieces() != wanted));
    }
    CHECK(rounded_down);
    CHECK(rounded_up);
}

TEST_CASE(
    "Two riding years in the ledger raise the reorder point before the season and lower it before winter") {
    const TemporaryFolder folder;
    const auto open = [&](const char* utc) {
        return inventory::ShopFile::open(folder.shop("shop.db"),
                                         inventory::fixedClock(inventory::UtcTime::parse(utc)));
    };
    {
        inventory::ShopFile shop =
            inventory::ShopFile::create(folder.shop("shop.db"), inventory::fixedClock(small_shop_time));
        inventory::BinList(shop).add({"F1", "F", 90, ""});
        inventory::Part seal;
        seal.code = "SEAL";
        seal.kind = inventory::PartKind::oilSeal;
        seal.id = mm("36");
        seal.od = mm("48");
        seal.length = mm("8");
        seal.reorder_point = 1;
        inventory::PartCatalogue(shop).add(seal);
        inventory::SupplierList(shop).add({"Invented Seals", 21, "EUR", {}, {}, {}, ""});
        inventory::SupplierList(shop).addOffer({"Invented Seals", "SEAL", 2, 800, "", {}});
        inventory::StockLedger ledger(shop);
        inventory::MovementLine line;
        line.kind = inventory::MovementKind::receipt;
        line.part = "SEAL";
        line.bin = "F1";
        line.quantity = 900;
        const auto first = inventory::CalendarDate::parse("2023-01-02");
        const auto at = [&](int day) {
            return inventory::UtcTime::parse(first.plusDays(day).text() + "T09:00:00Z");
        };
        ledger.post({line}, at(0));
        line.kind = inventory::MovementKind::issue;
        for (int week = 0; week < 156; ++week) { // three calendar years, the same in each
            line.quantity = week % 52 >= 12 && week % 52 < 36 ? 8 : 1;
            ledger.post({line}, at(7 * week + 1));
        }
    }
    const auto point = [&](const char* utc) {
        inventory::ShopFile shop = open(utc);
        ReorderOptions much;
        much.extra = {{"SEAL", 5000, "wanted by hand", false}}; // so that the line is in the plan
        const ReorderPlan plan = reorderPlan(shop, much);
        const ReorderLine* line = lineOf(plan, "SEAL");
        REQUIRE(line != nullptr);
        CHECK_THAT(line->demand, Contains("by season"));
        return *line->reorder_point;
    };
    const std::int64_t before_spring = point("2025-03-31T08:00:00Z");
    const std::int64_t before_winter = point("2025-09-22T08:00:00Z");
    CHECK(before_spring > 2 * before_winter);
    CHECK(before_spring >= 3 * 8); // three weeks of lead time in the season
}

TEST_CASE("The reorder point is that of the supplier who is bought from, not of the one whose price list is "
          "lower") {
    ReorderInputs inputs = oneSeal();
    inputs.balances["SEAL"].on_hand = 0;
    inputs.waiting_day = 0;
    const std::int64_t from_near = *lineOf(makeReorderPlan(inputs), "SEAL")->reorder_point;
    // A far supplier is a little dearer by the piece, but brings no freight.
    inputs.suppliers[0].freight = 3000;
    inputs.suppliers.push_back({"Invented Far Seals", 60, "EUR", {}, {}, {}, ""});
    inputs.offers.push_back({"Invented Far Seals", "SEAL", 2, 810, "", {}});
    std::string supplier;
    const ReorderPlan plan = makeReorderPlan(inputs);
    const ReorderLine* line = lineOf(plan, "SEAL", &supplier);
    REQUIRE(line != nullptr);
    CHECK(supplier == "Invented Far Seals");
    CHECK(*line->reorder_point > from_near);
    CHECK(line->pieces() > *line->reorder_point);
    ReorderInputs alone = inputs;
    alone.offers.erase(alone.offers.begin());
    CHECK(lineOf(makeReorderPlan(alone), "SEAL")->reorder_point == line->reorder_point);
}

TEST_CASE("A job that is due is bought for in time, and what cannot come in time is said first") {
    ReorderInputs inputs = oneSeal();
    inputs.parts[0].reorder_point.reset(); // for the jobs alone
    inputs.balances["SEAL"].on_hand = 1;
    inputs.suppliers = {{"Invented Far Seals", 9, "EUR", {}, {}, {}, ""},
                        {"Invented Near Seals", 2, "EUR", {}, {}, {}, ""}};
    inputs.offers = {{"Invented Far Seals", "SEAL", 2, 800, "", {}},
                     {"Invented Near Seals", "SEAL", 2, 900, "", {}}};
    const auto today = inputs.made.date();
    inputs.job_demand["SEAL"] = {4, {{"J7", 3, today.plusDays(4)}, {"J8", 1, {}}}};
    std::string supplier;
    ReorderPlan plan = makeReorderPlan(inputs);
    REQUIRE(plan.orders.size() == 2); // a pack from each: nobody was promised a day for J8
    CHECK(plan.orders[1].supplier.name == "Invented Near Seals");
    CHECK(plan.orders[1].lines.front().pieces() == 2);
    REQUIRE(plan.jobs.size() == 2);
    CHECK_FALSE(plan.jobs[0].late);
    CHECK(plan.jobs[0].there == today.plusDays(2));
    CHECK_THAT(plan.jobs[0].sentence, Contains("J7") && Contains("2 x"));
    // Nobody minds: the cheaper one.
    inputs.waiting_day = 0;
    plan = makeReorderPlan(inputs);
    REQUIRE(lineOf(plan, "SEAL", &supplier) != nullptr);
    CHECK(supplier == "Invented Far Seals");
    CHECK(plan.jobs[0].late);
    CHECK_THAT(plan.jobs[0].sentence,
               Contains("cannot be ready in time") && Contains("5 days late") &&
                   Contains("By " + today.plusDays(2).text() + " at the soonest, from Invented Near Seals"));
    // Due tomorrow: nobody can, the fewest days are taken and the job that is late stands before the others.
    inputs.waiting_day = 200;
    inputs.job_demand["SEAL"] = {
        4, {{"J8", 1, {}}, {"J6", 1, today.plusDays(30)}, {"J7", 2, today.plusDays(1)}}};
    plan = makeReorderPlan(inputs);
    REQUIRE(lineOf(plan, "SEAL", &supplier) != nullptr);
    CHECK(supplier == "Invented Near Seals");
    CHECK(plan.jobs.front().job == "J7");
    CHECK_THAT(plan.jobs.front().sentence, Contains("a day late") && Contains("Nobody delivers sooner"));
    CHECK(pageOne(plan).stops.front() == plan.jobs.front().sentence);
    CHECK(plan.quality.front().waiting == 200);
    // Nobody sells it.
    inputs.offers.clear();
    CHECK_THAT(makeReorderPlan(inputs).jobs.front().sentence, Contains("which nobody sells"));
}

TEST_CASE("Parts of one supplier are ordered together, and what only runs low waits for its day") {
    ReorderInputs inputs = oneSeal();
    inputs.suppliers[0].freight = 900;
    for (int i = 0; i < 12; ++i) {
        inventory::Part ring = inputs.parts[0];
        ring.code = "RING" + std::to_string(i);
        inputs.parts.push_back(ring);
        inputs.demand[ring.code] = inputs.demand["SEAL"];
        inputs.balances[ring.code] = {ring.code, 30, 0};
        inputs.offers.push_back({"Invented Seals", ring.code, 2, 700, "", {}});
    }
    inputs.balances["SEAL"].on_hand = 0;
    const auto today = inputs.made.date();
    ReorderPlan plan = makeReorderPlan(inputs);
    REQUIRE(plan.rhythms.size() == 1);
    const OrderRhythm rhythm = plan.rhythms.front();
    CHECK(rhythm.review_days > 7);
    CHECK(rhythm.review_days % 7 == 0);
    CHECK(rhythm.orders_a_year < rhythm.usual_orders_a_year);
    CHECK(rhythm.saving() > 0);
    CHECK(lineOf(plan, "SEAL") != nullptr); // never ordered from: today is as good a day as any
    const std::int64_t point = *lineOf(plan, "SEAL")->reorder_point;
    inputs.last_orders["Invented Seals"] = today.plusDays(-3);
    plan = makeReorderPlan(inputs);
    CHECK(lineOf(plan, "SEAL") != nullptr); // none left: jobs would wait for longer than the freight is worth
    inputs.balances["SEAL"].on_hand = point;
    plan = makeReorderPlan(inputs);
    CHECK(plan.orders.empty());
    REQUIRE(plan.later.size() == 1);
    CHECK(plan.rhythms.front().next_order == today.plusDays(-3 + rhythm.review_days));
    REQUIRE_FALSE(pageOne(plan).later.empty());
    CHECK_THAT(pageOne(plan).later.front(), Contains("next order on") && Contains("1 part can wait"));
    // A job that stands still does not wait, and then what runs low goes along.
    inputs.job_demand["RING0"] = {31, {{"J9", 31, {}}}};
    plan = makeReorderPlan(inputs);
    CHECK(lineOf(plan, "RING0") != nullptr);
    CHECK(lineOf(plan, "SEAL") != nullptr);
    CHECK(plan.later.empty());
    inputs.job_demand.clear();
    inputs.last_orders["Invented Seals"] = today.plusDays(-rhythm.review_days);
    CHECK(lineOf(makeReorderPlan(inputs), "SEAL") != nullptr);
}

TEST_CASE("A part that is asked for, gone and without a reorder point is told of") {
    ReorderInputs inputs = oneSeal();
    inputs.balances["SEAL"].on_hand = 0;
    inputs.parts[0].reorder_point.reset();
    ReorderPlan plan = makeReorderPlan(inputs);
    CHECK(plan.orders.empty());
    REQUIRE(plan.notes.size() == 1);
    CHECK_THAT(plan.notes.front(),
               Contains("SEAL (asked for 13 times in 52 weeks)") && Contains("reorder point is empty"));
    inputs.balances["SEAL"].on_hand = 2;
    CHECK(makeReorderPlan(inputs).notes.empty());
}

TEST_CASE("A new shim leans on the next thickness of its diameter, and a wear part on its model's") {
    ReorderInputs inputs = oneSeal();
    inputs.balances.clear();
    const auto add = [&](const std::string& code, inventory::PartKind kind, const char* thickness) {
        inventory::Part part = inputs.parts[0];
        part.code = code;
        part.kind = kind;
        if (kind == inventory::PartKind::shim) {
            part.od = mm("24");
            part.id = mm("6");
            part.thickness = mm(thickness);
        }
        part.part_class = code; // nothing to learn from a class
        inputs.parts.push_back(part);
        inputs.offers.push_back({"Invented Seals", code, 2, 800, "", {}});
    };
    add("S-0.10", inventory::PartKind::shim, "0.10");
    add("S-0.12", inventory::PartKind::shim, "0.12");
    add("S-0.30", inventory::PartKind::shim, "0.30");
    add("RING", inventory::PartKind::oRing, "");
    add("LONE", inventory::PartKind::oRing, "");
    inputs.demand["S-0.10"] = inputs.demand["SEAL"];
    inputs.demand["S-0.12"] = {4, {}};
    inputs.demand["RING"] = {4, {}};
    inputs.demand["LONE"] = {4, {}};
    inputs.models = {{"SEAL", "RING"}};
    const ReorderPlan plan = makeReorderPlan(inputs);
    for (const char* code : {"S-0.12", "RING"}) {
        INFO(code);
        REQUIRE(lineOf(plan, code) != nullptr);
        CHECK_THAT(lineOf(plan, code)->demand, Contains("as parts like it"));
        CHECK(*lineOf(plan, code)->reorder_point > 1);
    }
    CHECK(*lineOf(plan, "LONE")->reorder_point == 1); // the figure that somebody typed in
}

TEST_CASE("The promise is said in jobs, and a stopped job that costs more is promised no less") {
    ReorderInputs inputs = oneSeal();
    inputs.balances["SEAL"].on_hand = 0;
    inputs.waiting_day = 0;
    const ReorderPlan plain = makeReorderPlan(inputs);
    const ReorderLine* line = lineOf(plain, "SEAL");
    CHECK(line->promised_share == 0.95);
    CHECK(line->served_share >= 0.95);
    CHECK_THAT(promiseText(*line), Contains("of 100 jobs served in full from the shelf, 95 promised"));
    CHECK(line->plain.find("none left") == 0);
    inputs.waiting_day = 5000;
    const ReorderPlan dear = makeReorderPlan(inputs);
    CHECK(lineOf(dear, "SEAL")->served_share > line->served_share);
}

TEST_CASE("What an order lacks of its minimum is no cost as far as goods that are needed later fill it") {
    ReorderInputs inputs = oneSeal();
    inputs.balances["SEAL"].on_hand = 0;
    inputs.suppliers[0].minimum_order = makeReorderPlan(inputs).orders.front().total() + 1000;
    const ReorderPlan plan = makeReorderPlan(inputs);
    CHECK(plan.quality.front().cost == plan.orders.front().toPay());
    CHECK_THAT(plan.quality.front().sentence, !Contains("for nothing") && Contains("needed only later"));
}
