#include "tests/services/small_shop.h"

#include "app/services/pick_list.h"
#include "app/services/plan_job.h"
#include "app/services/reserve_plan.h"
#include "app/services/stack_view.h"
#include "app/services/stock_flow.h"
#include "inventory/inventory_error.h"
#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>

#include <map>
#include <tuple>

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

TEST_CASE("An accepted plan reserves its discs and consumables and stores which row stands for which") {
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

TEST_CASE("Of two plans for the last discs the second is refused and leaves nothing") {
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
            pullFromBin(small.shop, "J1", open.front().bin, open.front().part);
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
