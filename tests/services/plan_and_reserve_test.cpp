// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/services/small_shop.h"

#include "app/services/job_needs.h"
#include "app/services/pick_list.h"
#include "app/services/plan_job.h"
#include "app/services/reserve_plan.h"
#include "app/services/stack_view.h"
#include "app/services/stock_flow.h"
#include "inventory/inventory_error.h"
#include "inventory/stock_snapshot.h"
#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>

#include <atomic>
#include <map>
#include <thread>
#include <tuple>
#include <utility>

using namespace shimledger;
using namespace shimledger::services;
using inventory::JobStatus;

TEST_CASE("A check names the discs that are short and asks for nothing else") {
    SmallShop small;
    const JobCheck check = checkJob(small.shop, "J1");
    REQUIRE(check.shortages.size() == 1);
    CHECK(check.shortages.front().od == mm("24"));
    CHECK(check.shortages.front().needed == 4);
    CHECK(check.shortages.front().available == 3);
    CHECK(check.consumables_short.empty());
    CHECK(check.revision == small.ledger.revision());
}

TEST_CASE("The request carries measured means, condition, places and what a disc costs to replace") {
    SmallShop small;
    const JobCheck check = checkJob(small.shop, "J1");
    REQUIRE(check.request.stock.size() == 5); // the seal is no disc
    const auto& used = check.request.stock.back();
    CHECK(used.bin == "F1");
    CHECK(used.used);
    CHECK(used.measured == mm("0.118"));
    CHECK(used.replacement_cost == 82);
    std::int64_t face_cost = 0;
    for (const auto& item : check.request.stock) {
        if (item.part == shimCode("24", "0.10")) face_cost = item.replacement_cost;
    }
    CHECK(face_cost == 81); // 8.10 for ten beats 5.67 for five
    CHECK(check.request.legs == 2);
}

TEST_CASE("Several readings of a lot reach the request as their mean and their spread") {
    SmallShop small;
    for (const char* reading : {"0.117", "0.119", "0.121"}) {
        inventory::addReading(small.shop, {shimCode("24", "0.12"), "A2", inventory::Condition::fresh,
                                           mm(reading), small_shop_time});
    }
    const JobCheck check = checkJob(small.shop, "J1");
    bool found = false;
    for (const auto& item : check.request.stock) {
        if (item.bin != "A2" || item.part != shimCode("24", "0.12")) continue;
        found = true;
        CHECK(item.measured == mm("0.119"));
        CHECK(item.reading_spread_mm == Approx(0.002));
    }
    CHECK(found);
}

TEST_CASE("A consumable that is short is named with what is there") {
    SmallShop small;
    inventory::JobBook(small.shop).setConsumables("J1", {{"SEAL", 5, ""}});
    const JobCheck check = checkJob(small.shop, "J1");
    REQUIRE(check.consumables_short.size() == 1);
    CHECK(check.consumables_short.front().needed == 5);
    CHECK(check.consumables_short.front().available == 3);
    CHECK(check.consumables_short.front().sentence.find("5 x SEAL") != std::string::npos);
}

TEST_CASE("An accepted plan reserves its discs and consumables and stores which row stands for which",
          "[server]") {
    SmallShop small;
    const JobPlan plan = planJob(small.shop, "J1");
    REQUIRE_FALSE(plan.result.proposals.empty());
    const ReservedPlan reserved = reservePlan(small.shop, plan, 0);
    CHECK(reserved.missing.empty());
    CHECK(reserved.consumablesText() == "2 pieces of consumables");
    const inventory::JobBook book(small.shop);
    CHECK(book.get("J1").status == JobStatus::reserved);
    const auto build = book.stack("J1", inventory::StackRole::build);
    REQUIRE(build);
    bool face_replaced = false;
    std::int64_t discs_per_leg = 0;
    for (const auto& row : build->rows) {
        face_replaced = face_replaced || row.replaces == 1;
        discs_per_leg += row.count;
    }
    CHECK(face_replaced);
    CHECK(reserved.discs == 2 * discs_per_leg);
    bool substitute_marked = false;
    for (const auto& line : small.ledger.reservationsOf("J1")) {
        if (line.part == shimCode("24", "0.12")) {
            substitute_marked = true;
            CHECK(line.wanted_part == shimCode("24", "0.10"));
        }
    }
    CHECK(substitute_marked);
    CHECK(inventory::verifyStock(small.shop).good());
}

TEST_CASE("Of two plans for the last discs the second is refused and leaves nothing", "[server]") {
    SmallShop small;
    small.receive(shimCode("24", "0.10"), "A1", 1); // enough for one of the two jobs
    const JobPlan first = planJob(small.shop, "J1");
    const JobPlan second = planJob(small.shop, "J2");
    REQUIRE(first.shortages.empty());
    REQUIRE(second.shortages.empty());
    reservePlan(small.shop, first, 0);
    CHECK_THROWS_AS(reservePlan(small.shop, second, 0), inventory::StockChanged);
    CHECK(small.ledger.reservationsOf("J2").empty());
    CHECK_FALSE(inventory::JobBook(small.shop).stack("J2", inventory::StackRole::build));
    CHECK(inventory::JobBook(small.shop).get("J2").status == JobStatus::open);
    CHECK(inventory::verifyStock(small.shop).good());
    const JobCheck again = checkJob(small.shop, "J2");
    REQUIRE(again.shortages.size() == 1);
    CHECK(again.shortages.front().available == 0);
}

namespace {

/// Takes a disc by a connection of its own, as another program would.
void takeFrom(const SmallShop& small, const std::string& part, const std::string& bin, std::int64_t quantity,
              inventory::Condition condition = inventory::Condition::fresh) {
    auto other = inventory::ShopFile::open(small.shop.path());
    inventory::MovementLine line;
    line.kind = inventory::MovementKind::issue;
    line.part = part;
    line.bin = bin;
    line.condition = condition;
    line.quantity = quantity;
    inventory::StockLedger(other).post({line});
}

} // namespace

TEST_CASE("What others post beside a plan does not matter where the plan takes none of it") {
    SmallShop small;
    const JobPlan plan = planJob(small.shop, "J1");
    REQUIRE_FALSE(plan.result.proposals.empty());
    small.receive("SEAL", "A1", 1);
    takeFrom(small, shimCode("18", "0.15"), "A1", 3); // of 20, of which the plan takes 2
    inventory::JobBook book(small.shop);
    book.setStack("J2", {inventory::StackRole::target, 0, {{1, mm("24"), mm("0.12"), {}}}});
    CHECK(reservePlan(small.shop, plan, 0).discs > 0);
    CHECK(inventory::verifyStock(small.shop).good());
}

TEST_CASE("A plan is overtaken when the job itself, a reading or what the rules keep has changed",
          "[server]") {
    SmallShop small;
    SearchSettings settings;
    settings.rules.keep_in_stock = 4;
    const JobPlan plan = planJob(small.shop, "J1", settings);
    REQUIRE_FALSE(plan.result.proposals.empty());
    inventory::JobBook book(small.shop);
    const auto refusal = [&] {
        try {
            reservePlan(small.shop, plan, 0);
        } catch (const inventory::StockChanged& changed) {
            CHECK(small.ledger.reservationsOf("J1").empty());
            return std::string(changed.what());
        }
        return std::string("booked");
    };
    SECTION("target") {
        book.setStack("J1", {inventory::StackRole::target, 0, {{1, mm("24"), mm("0.12"), {}}}});
        CHECK_THAT(refusal(), Catch::Contains("its target has changed"));
    }
    SECTION("consumables") {
        book.setConsumables("J1", {{"SEAL", 3, ""}});
        CHECK_THAT(refusal(), Catch::Contains("its consumables have changed"));
    }
    SECTION("valve") {
        inventory::Job job = book.get("J1");
        job.valve.clamp_od = mm("11");
        book.update(job);
        CHECK_THAT(refusal(), Catch::Contains("its valve has changed"));
    }
    SECTION("somebody else has reserved for it") {
        small.ledger.reserve("J1", {{"SEAL", "B1", inventory::Condition::fresh, 1}});
        const std::int64_t revision = small.ledger.revision();
        CHECK_THROWS_WITH(reservePlan(small.shop, plan, 0), Catch::Contains("something was reserved"));
        CHECK(small.ledger.revision() == revision);
    }
    SECTION("a reading of what it takes") {
        const auto& pull = plan.result.proposals.front().pulls.front();
        inventory::addReading(small.shop,
                              {pull.part, pull.bin,
                               pull.used ? inventory::Condition::used : inventory::Condition::fresh,
                               pull.thickness + mm("0.002"), small_shop_time});
        small.receive("SEAL", "A1", 1);
        CHECK_THAT(refusal(), Catch::Contains("were measured anew"));
    }
    SECTION("what the rules keep") {
        takeFrom(small, shimCode("18", "0.15"), "A1", 15); // 5 are left, and the plan takes 2
        CHECK_THAT(refusal(), Catch::Contains("3 discs of the size of S18-0.15 would be left"));
    }
}

TEST_CASE("Where others were faster it is planned again once, and what then cannot be booked is said",
          "[server]") {
    SmallShop small;
    small.receive(shimCode("24", "0.10"), "A1", 1); // enough to build J1 as it is
    SearchSettings settings;
    int plans = 0;
    bool first = true;
    SECTION("once") {
        const auto done = [&] {
            PlannedAndReserved result;
            result.overtaken = planAndBook(
                [&] {
                    ++plans;
                    result.plan = planJob(small.shop, "J1", settings);
                    if (first) takeFrom(small, shimCode("24", "0.10"), "A1", 1); // the very disc
                    first = false;
                },
                [&] { result.reserved = reservePlan(small.shop, result.plan, 0); });
            return result;
        }();
        CHECK(plans == 2);
        CHECK(done.reserved);
        CHECK_THAT(done.overtaken.why, Catch::Contains("only 3 available"));
        CHECK(done.overtaken.refused.empty());
        CHECK_FALSE(small.ledger.reservationsOf("J1").empty());
    }
    SECTION("twice") {
        std::optional<ReservedPlan> reserved;
        JobPlan plan;
        const Overtaken overtaken = planAndBook(
            [&] {
                ++plans;
                plan = planJob(small.shop, "J1", settings);
                REQUIRE_FALSE(plan.result.proposals.empty());
                for (const auto& pull : plan.result.proposals.front().pulls) {
                    const auto condition =
                        pull.used ? inventory::Condition::used : inventory::Condition::fresh;
                    for (const auto& lot : inventory::stockSnapshot(small.shop).lots) {
                        if (lot.od == mm("24") && lot.part == pull.part && lot.bin == pull.bin &&
                            lot.condition == condition)
                            takeFrom(small, lot.part, lot.bin, lot.available(), condition);
                    }
                }
            },
            [&] { reserved = reservePlan(small.shop, plan, 0); });
        CHECK(plans == 2);
        CHECK_THAT(overtaken.why, Catch::Contains("only 0 available"));
        CHECK_THAT(overtaken.refused, Catch::Contains("only 0 available"));
        CHECK_FALSE(reserved);
        CHECK(small.ledger.reservationsOf("J1").empty());
    }
    CHECK(inventory::verifyStock(small.shop).good());
}

TEST_CASE("Eight others posting unrelated movements make no plan fail", "[server]") {
    SmallShop small;
    const std::filesystem::path path = small.shop.path();
    std::atomic<bool> stop{false};
    std::atomic<int> posted{0}, refused{0};
    std::vector<std::thread> others;
    for (int i = 0; i < 8; ++i) {
        others.emplace_back([&, i] {
            auto shop = inventory::ShopFile::open(path);
            inventory::StockLedger ledger(shop);
            while (!stop) {
                inventory::MovementLine line;
                line.kind = i % 2 == 0 ? inventory::MovementKind::receipt : inventory::MovementKind::move;
                line.part = i % 2 == 0 ? "SEAL" : shimCode("10", "0.30");
                line.bin = "A1";
                line.to_bin = i % 2 == 0 ? "" : "F1";
                line.quantity = 1;
                try {
                    ledger.post({line});
                    ++posted;
                    if (i % 2 == 0) continue;
                    std::swap(line.bin, line.to_bin);
                    ledger.post({line});
                } catch (const InputError&) {
                    ++refused;
                }
            }
        });
    }
    int booked = 0;
    for (int round = 0; round < 20; ++round) {
        const auto done = planAndReserve(small.shop, "J1", {}, 0);
        if (done.reserved && done.overtaken.why.empty()) ++booked;
        releaseJob(small.shop, "J1", "the next round");
    }
    stop = true;
    for (std::thread& other : others) other.join();
    CHECK(booked == 20);
    CHECK(posted > 20);
    CHECK(refused == 0);
    CHECK(inventory::verifyStock(small.shop).good());
}

TEST_CASE("A seal that was put back is no longer counted as issued") {
    SmallShop small;
    reservePlan(small.shop, planJob(small.shop, "J1"), 0);
    pullAll(small.shop, "J1");
    CHECK(consumableNeeds(small.shop, "J1").at(0).issued == 2);
    returnPieces(small.shop, {"SEAL", "B1", 1, inventory::Condition::fresh, "J1"});
    const auto needs = consumableNeeds(small.shop, "J1");
    CHECK(needs.at(0).issued == 1);
    CHECK(needs.at(0).open() == 1);
}

TEST_CASE("New and used discs of one drawer are lines of their own, each pulled by itself") {
    SmallShop small;
    const std::string disc = shimCode("24", "0.12");
    small.receive(disc, "A2", 4, inventory::Condition::used);
    small.ledger.reserve(
        "J1", {{disc, "A2", inventory::Condition::fresh, 2}, {disc, "A2", inventory::Condition::used, 2}});
    REQUIRE(pickList(small.shop, "J1").lines.size() == 2);
    const FlowStep step = pullFromBin(small.shop, "J1", "A2", {disc, inventory::Condition::used, {}});
    CHECK(step.sentences.size() == 1);
    REQUIRE(pickList(small.shop, "J1").lines.size() == 1);
    CHECK_FALSE(pickList(small.shop, "J1").lines.front().used);
    CHECK_THROWS_WITH(pullFromBin(small.shop, "J1", "A2", {disc, inventory::Condition::used, {}}),
                      Catch::Contains("nothing used of part 'S24-0.12' is reserved"));
}

TEST_CASE("A plan that takes more than a drawer has is refused as a whole") {
    SmallShop small;
    JobPlan plan = planJob(small.shop, "J1");
    REQUIRE_FALSE(plan.result.proposals.empty());
    auto& proposal = plan.result.proposals.front();
    proposal.rows = {{plan.request.target->rows().front(), 0, false}}; // 4 of which only 3 are held
    proposal.pulls = {{"A1", shimCode("24", "0.10"), mm("24"), mm("0.10"), {}, false, 4, 10, {2, 2}}};
    CHECK_THROWS_AS(reservePlan(small.shop, plan, 0), inventory::StockRefusal);
    CHECK(small.ledger.reservations().empty());
    CHECK_FALSE(inventory::JobBook(small.shop).stack("J1", inventory::StackRole::build));
}

TEST_CASE("A proposal that is not there, and a job that holds reservations, are refused in one sentence") {
    SmallShop small;
    const JobPlan plan = planJob(small.shop, "J1");
    CHECK_THROWS_WITH(reservePlan(small.shop, plan, 99), Catch::Contains("no proposal 100 for J1"));
    reservePlan(small.shop, plan, 0);
    const JobPlan again = planJob(small.shop, "J1");
    CHECK_THROWS_WITH(reservePlan(small.shop, again, 0), Catch::Contains("holds reservations already"));
}

TEST_CASE("A job's own reservations count as available to it and to no other") {
    SmallShop small;
    small.receive(shimCode("24", "0.10"), "A1", 1);
    reservePlan(small.shop, planJob(small.shop, "J1"), 0);
    CHECK(checkJob(small.shop, "J1").shortages.empty());
    CHECK(checkJob(small.shop, "J2").shortages.size() == 1);
}

TEST_CASE("Jobs that are unknown, ended or without a target are named by their code, never by the customer") {
    SmallShop small;
    inventory::JobBook book(small.shop);
    book.setStack("J2", {inventory::StackRole::target, 0, {}});
    CHECK_THROWS_WITH(checkJob(small.shop, "J2"), Catch::Contains("J2 has no target stack"));
    CHECK_THROWS_AS(checkJob(small.shop, "J9"), InputError);
    book.setStack("J1", {inventory::StackRole::target, 0, {{1, mm("9"), mm("0.10"), {}}}});
    CHECK_THROWS_WITH(checkJob(small.shop, "J1"),
                      Catch::Contains("J1: ") && !Catch::Contains("Private Person"));
    book.cancel("J1");
    CHECK_THROWS_WITH(checkJob(small.shop, "J1"), Catch::Contains("J1 is cancelled"));
}

TEST_CASE("The stack view shows each row's bins and what is missing of its size") {
    SmallShop small;
    const auto rows = stackView(small.shop, "J1");
    REQUIRE(rows.size() == 3);
    CHECK(rows[0].binText() == "A1");
    CHECK(rows[0].needed == 4);
    CHECK(rows[0].on_hand == 3);
    CHECK(rows[0].available() == 3);
    CHECK(rows[0].missing == 1);
    CHECK(rows[1].missing == 0);
    CHECK(stackView(small.shop, "J1", inventory::StackRole::build).empty());
}

TEST_CASE("Rows of one size share what the drawers hold") {
    SmallShop small;
    inventory::JobBook(small.shop)
        .setStack(
            "J1",
            {inventory::StackRole::target,
             0,
             {{1, mm("24"), mm("0.10"), {}}, {1, mm("18"), mm("0.15"), {}}, {1, mm("24"), mm("0.10"), {}}}});
    const auto rows = stackView(small.shop, "J1");
    REQUIRE(rows.size() == 3);
    CHECK(rows[0].needed == 2);
    CHECK(rows[0].needed_of_size == 4);
    CHECK(rows[0].missing == 1);
    CHECK(rows[2].missing == 1);
}

TEST_CASE("The pick list walks the drawers in order and sums up to what was reserved") {
    SmallShop small;
    reservePlan(small.shop, planJob(small.shop, "J1"), 0);
    const PickList list = pickList(small.shop, "J1");
    REQUIRE_FALSE(list.lines.empty());
    CHECK(list.lines.front().bin == "B1"); // the seal's drawer comes first on the walk
    CHECK(list.lines.front().part == "SEAL");
    CHECK_FALSE(list.lines.front().shim);
    std::int64_t pieces = 0;
    std::map<std::string, std::vector<std::int64_t>> legs;
    for (std::size_t i = 0; i < list.lines.size(); ++i) {
        const PickLine& line = list.lines[i];
        if (i > 0) CHECK(list.lines[i - 1].walking_order <= line.walking_order);
        REQUIRE(line.per_leg.size() == 2);
        CHECK(line.per_leg[0] + line.per_leg[1] == line.quantity);
        legs[line.part].resize(2);
        for (std::size_t leg = 0; leg < 2; ++leg) legs[line.part][leg] += line.per_leg[leg];
        if (line.shim) pieces += line.quantity;
        CHECK((line.replaces == "shim 24.0 x 6.0 x 0.10") == (line.part == shimCode("24", "0.12")));
        if (line.used) CHECK(line.measured == mm("0.118"));
    }
    CHECK(list.pieces() == pieces);
    for (const auto& [part, shares] : legs) {
        INFO(part);
        CHECK(shares[0] == shares[1]); // both legs get the same
    }
    CHECK(list.target.size() == 3);
    CHECK(list.target.front().text == "2 x 24.0 x 0.10");
    CHECK(list.target_height == mm("0.65"));
    CHECK(list.cautions.size() >= 4);
    CHECK(list.made == small_shop_time);
}

TEST_CASE("The pick list deals measured lots to the legs as the accepted proposal does") {
    std::size_t proposals = 1, uneven = 0;
    for (std::size_t accepted = 0; accepted < proposals; ++accepted) {
        CAPTURE(accepted);
        SmallShop small;
        // Four lots of one disc each that measure differently.
        const auto lot = [&](const char* bin, std::int64_t pieces, const char* reading) {
            small.receive(shimCode("24", "0.12"), bin, pieces);
            inventory::addReading(small.shop, {shimCode("24", "0.12"), bin, inventory::Condition::fresh,
                                               mm(reading), small_shop_time});
        };
        lot("A1", 1, "0.123");
        lot("B1", 1, "0.117");
        const auto scrap = [&](const char* bin, std::int64_t pieces, inventory::Condition condition) {
            inventory::MovementLine bent;
            bent.kind = inventory::MovementKind::scrap;
            bent.part = shimCode("24", "0.12");
            bent.bin = bin;
            bent.condition = condition;
            bent.quantity = pieces;
            bent.reason = "bent";
            small.ledger.post({bent});
        };
        scrap("A2", 11, inventory::Condition::fresh);
        scrap("F1", 7, inventory::Condition::used);
        SearchSettings settings;
        settings.rules.most_choice_deviation = 1;
        const JobPlan plan = planJob(small.shop, "J1", settings);
        proposals = plan.result.proposals.size();
        REQUIRE(proposals > 0);
        const auto& proposal = plan.result.proposals[accepted];
        reservePlan(small.shop, plan, accepted);
        using Lot = std::tuple<std::string, std::string, bool>;
        std::map<Lot, std::vector<std::int64_t>> proposed, listed;
        for (const auto& pull : proposal.pulls) {
            proposed[Lot(pull.part, pull.bin, pull.used)] = pull.per_leg;
            if (pull.per_leg[0] != pull.per_leg[1]) ++uneven;
        }
        for (const PickLine& line : pickList(small.shop, "J1").lines) {
            if (!line.shim) continue;
            auto& legs = listed[Lot(line.part, line.bin, line.used)];
            legs.resize(2);
            for (std::size_t leg = 0; leg < 2; ++leg) legs[leg] += line.per_leg[leg];
        }
        CHECK(listed == proposed);
        // Pulled line by line, the rest of the list stays as it was.
        std::vector<PickLine> open = pickList(small.shop, "J1").lines;
        while (open.size() > 1) {
            const auto condition =
                open.front().used ? inventory::Condition::used : inventory::Condition::fresh;
            pullFromBin(small.shop, "J1", open.front().bin,
                        {open.front().part, condition, open.front().wanted_part});
            const std::vector<PickLine> rest = pickList(small.shop, "J1").lines;
            REQUIRE(rest.size() < open.size());
            for (std::size_t i = 1; i <= rest.size(); ++i)
                CHECK(rest[rest.size() - i].per_leg == open[open.size() - i].per_leg);
            open = rest;
        }
    }
    CHECK(proposals > 1);
    CHECK(uneven > 0); // else an even split would do
}

TEST_CASE(
    "The legs of the remaining discs stay as printed when a drawer was pulled empty or is measured anew") {
    SmallShop small;
    const std::string disc = shimCode("24", "0.10");
    // One disc in each of two drawers; they read on both sides of a third one that nobody measured.
    const auto lot = [&](const char* part, const char* bin, const char* reading) {
        small.receive(part, bin, 1);
        inventory::addReading(small.shop,
                              {part, bin, inventory::Condition::fresh, mm(reading), small_shop_time});
    };
    small.addPart("E1", "24", "0.11", {});
    lot("E1", "A1", "0.114");
    lot("E1", "A2", "0.112");
    lot("E1", "B1", "0.108");
    lot("E1", "F1", "0.106");
    inventory::JobBook(small.shop)
        .setStack("J1", {inventory::StackRole::target, 0, {{2, mm("24"), mm("0.11"), {}}}});
    small.ledger.reserve("J1", {{"E1", "A1", inventory::Condition::fresh, 1},
                                {"E1", "A2", inventory::Condition::fresh, 1},
                                {"E1", "B1", inventory::Condition::fresh, 1},
                                {"E1", "F1", inventory::Condition::fresh, 1}});
    const auto printed = [&] {
        std::map<std::string, std::vector<std::int64_t>> legs;
        for (const PickLine& line : pickList(small.shop, "J1").lines) legs[line.bin] = line.per_leg;
        return legs;
    };
    const auto before = printed();
    REQUIRE(before.size() == 4);
    for (const char* first : {"A1", "A2", "B1", "F1"}) {
        const auto pulled = pullFromBin(small.shop, "J1", first);
        for (const auto& [bin, legs] : printed()) {
            INFO("after " << first << ": " << bin);
            CHECK(legs == before.at(bin));
        }
        undoMovement(small.shop, pulled.batch.batch, true, "the next one");
    }
    CHECK(printed() == before);
    // A week later the drawer is measured again, and reads otherwise.
    inventory::addReading(small.shop, {"E1", "A1", inventory::Condition::fresh, mm("0.101"),
                                       inventory::UtcTime::parse("2026-03-16T08:00:00Z")});
    CHECK(printed() == before);
    CHECK(inventory::verifyStock(small.shop).good());
}

TEST_CASE("What a count takes does not turn the legs of what is left, nor does a pulled purpose of the lot") {
    SmallShop small;
    const std::string disc = shimCode("24", "0.12");
    small.ledger.reserve("J1", {{disc, "A2", inventory::Condition::fresh, 1},
                                {disc, "A2", inventory::Condition::fresh, 1, shimCode("24", "0.10")},
                                {disc, "F1", inventory::Condition::used, 2}});
    const auto printed = [&] {
        std::map<std::pair<std::string, std::string>, std::vector<std::int64_t>> legs;
        for (const PickLine& line : pickList(small.shop, "J1").lines)
            legs[{line.bin, line.wanted_part}] = line.per_leg;
        return legs;
    };
    const auto before = printed();
    REQUIRE(before.size() == 3);
    for (const std::string& wanted : {std::string(), shimCode("24", "0.10")}) {
        const auto pulled = pullFromBin(small.shop, "J1", "A2", {disc, {}, wanted});
        REQUIRE(pulled.sentences.size() == 1);
        for (const auto& [line, legs] : printed()) CHECK(legs == before.at(line));
        undoMovement(small.shop, pulled.batch.batch, true, "the next one");
    }
}

TEST_CASE("There is no pick list before anything is reserved") {
    SmallShop small;
    CHECK_THROWS_WITH(pickList(small.shop, "J1"), Catch::Contains("nothing is reserved for J1"));
}

TEST_CASE("Consumables that the drawers could not give are missing on the reservation and on the pick list") {
    SmallShop small;
    inventory::JobBook(small.shop).setConsumables("J1", {{"SEAL", 5, ""}});
    const ReservedPlan reserved = reservePlan(small.shop, planJob(small.shop, "J1"), 0);
    CHECK(reserved.consumablesText() == "3 pieces of consumables");
    REQUIRE(reserved.missing.size() == 1);
    CHECK(reserved.missing.front().find("2 x SEAL") == 0);
    CHECK(pickList(small.shop, "J1").missing == reserved.missing);
}
