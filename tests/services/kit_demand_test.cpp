// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/kit_demand.h"
#include "app/services/kit_plan.h"
#include "app/services/recipe_list.h"
#include "tests/services/small_shop.h"

#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;

namespace {

inventory::CalendarDate day(const std::string& text) {
    return inventory::CalendarDate::parse(text);
}

void addJob(SmallShop& small, const std::string& code, const std::string& opened, int face_discs) {
    inventory::Job job = inventory::JobBook(small.shop).get("J1");
    job.code = code;
    job.opened = day(opened);
    inventory::JobBook book(small.shop);
    book.add(job);
    inventory::JobStack target;
    target.rows = {
        {face_discs, mm("24"), mm("0.10"), {}}, {1, mm("18"), mm("0.15"), {}}, {1, mm("10"), mm("0.30"), {}}};
    book.setStack(code, target);
}

} // namespace

TEST_CASE(
    "the demand of a kit is what jobs asked for: closed ones count, called off ones do not, open ones wait") {
    SmallShop small;
    for (int i = 0; i < 6; ++i) {
        addJob(small, "OLD" + std::to_string(i), "2025-03-1" + std::to_string(i), 3);
        inventory::JobBook(small.shop).close("OLD" + std::to_string(i));
    }
    addJob(small, "OFF", "2025-06-01", 5);
    inventory::JobBook(small.shop).cancel("OFF");
    const KitDemandBook book = kitDemandOf(small.shop, {day("2026-03-09"), day("2026-09-07")}, 28);
    REQUIRE(book.wanted.size() == 2); // J1 and J2 ask for the same
    CHECK(book.jobs == 8);
    CHECK(book.years == Approx(364 / 365.25).margin(0.01));
    double old_year = 0, new_year = 0;
    int waiting = 0;
    for (const auto& one : book.wanted) {
        const bool old = one.stack.rows().front().count == 3;
        (old ? old_year : new_year) += one.jobs_a_year;
        waiting += one.waiting;
        CHECK(one.legs == 2);
        if (old) CHECK(one.waiting == 0);
    }
    CHECK(old_year == Approx(6 / book.years));
    CHECK(new_year == Approx(2 / book.years));
    CHECK(waiting == 2);
    CHECK(book.season.size() == 7);                                     // 183 days in windows of 28
    for (const double factor : book.season) CHECK(factor == Approx(1)); // one year tells no season
}

TEST_CASE("a shop that knows a year and a season's order is planned with what lies in its drawers") {
    SmallShop small;
    KitOptions options;
    options.budget = 4000;
    options.curve = false;
    options.solver.program.clear();
    const KitResult kit = kitPlan(small.shop, options);
    CHECK(kit.currency == "EUR");
    CHECK(kit.plan.cost <= 4000);
    CHECK(kit.window_days >= 7);
    CHECK(kit.plan.fresh.mean >= kit.plan.plain.mean);
    // Four of 24 x 0.10 are wanted by each of two jobs and three are there.
    bool bought = false;
    for (const KitSize& line : kit.lines) {
        CHECK(line.keep == line.on_hand + line.packs_to_buy * line.pack_size);
        bought = bought || line.packs_to_buy > 0;
    }
    CHECK(bought);
    CHECK(kit.orders.orders.size() >= 1);
    CHECK_THAT(kitSentences(kit).front(), Contains("Keep"));
}

TEST_CASE("seasons and sizes of shims that are typed are read or refused") {
    const KitSeason season = parseKitSeason("2026-03-01..2026-08-31");
    CHECK(season.from == day("2026-03-01"));
    CHECK(season.until == day("2026-08-31"));
    for (const char* bad : {"", "2026-03-01", "2026-08-31..2026-03-01", "2026-03-01..2029-03-01", "a..b"})
        CHECK_THROWS_AS(parseKitSeason(bad), InputError);
    CHECK(discSizeText(parseDiscSize("24x6x0.10")) == "24.0 x 6.0 x 0.10");
    CHECK(parseDiscSize("24 x 6 x 0.1") == parseDiscSize("24X6X0.10"));
    for (const char* bad : {"", "24", "24x0.10", "24x6x0.10x2", "axbxc"})
        CHECK_THROWS_AS(parseDiscSize(bad), InputError);
}

TEST_CASE("recipes of a sheet are read by the names of their columns in any order") {
    const auto recipes = readRecipes("stack,jobs_a_year,shim_id_mm,clamp_od_mm,port_inner_diameter_mm,"
                                     "port_outer_diameter_mm,name\r\n"
                                     "\"4 x 24 x 0.15; 1 x 18 x 0.15\",2.5,6,10,13,20,trail\r\n");
    REQUIRE(recipes.size() == 1);
    CHECK(recipes[0].name == "trail");
    CHECK(recipes[0].jobs_a_year == 2.5);
    CHECK(recipes[0].legs == 2);
    CHECK(recipes[0].stack.rows().size() == 2);
    CHECK_THROWS_WITH(readRecipes("stak,jobs_a_year\n"), Contains("did you mean 'stack'"));
}
