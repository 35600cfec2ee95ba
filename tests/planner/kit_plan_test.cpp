// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/kit/kit_plan.h"

#include "planner/kit/recipe_json.h"
#include "planner/units/input_error.h"
#include "tests/planner/invented_recipes.h"
#include "tests/planner/usual_valve.h"

#include <catch2/catch.hpp>

#include <iostream>

using namespace shimledger;
using namespace shimledger::planner;
using Catch::Matchers::Contains;

namespace {

/// Fifteen sizes of one bore and three wanted stacks.
KitRequest smallShop(std::uint64_t seed = 3) {
    KitRequest request;
    const auto mm = [](double length) { return Length::fromMillimetres(length); };
    for (const double od : {24.0, 20.0, 18.0, 16.0, 12.0}) {
        for (const double thickness : {0.10, 0.15, 0.20}) {
            request.sizes.push_back({mm(od), mm(6), mm(thickness)});
            KitStock stock;
            stock.pack_size = 10;
            stock.pack_price = 200 + static_cast<std::int64_t>(od * 10);
            request.stock.push_back(stock);
        }
    }
    for (const char* text : {"4 x 24 x 0.15; 1 x 20 x 0.15; 1 x 16 x 0.15; 1 x 12 x 0.20",
                             "6 x 24 x 0.15; 1 x 18 x 0.15; 1 x 12 x 0.20",
                             "5 x 24 x 0.20; 1 x 20 x 0.10; 1 x 18 x 0.15; 1 x 12 x 0.20"})
        request.wanted.push_back({text, test::inUsualValve(text), 2, 20, 0});
    request.season = {0.7, 1.3};
    request.seed = seed;
    request.moves = 1500;
    request.bound_rounds = 200;
    request.windows_learned = 20;
    request.windows_judged = 100;
    request.curve = false;
    return request;
}

} // namespace

TEST_CASE("the same request has the same kit plan whatever the threads") {
    KitRequest request = smallShop();
    const KitPlan one = planKit(request);
    request.threads = 1;
    const KitPlan other = planKit(request);
    CHECK(one.cost == other.cost);
    CHECK(one.coverage == other.coverage);
    CHECK(one.coverage_bound == other.coverage_bound);
    CHECK(one.fresh.mean == other.fresh.mean);
    REQUIRE(one.sizes.size() == other.sizes.size());
    for (std::size_t i = 0; i < one.sizes.size(); ++i) {
        CHECK(one.sizes[i].size == other.sizes[i].size);
        CHECK(one.sizes[i].keep == other.sizes[i].keep);
    }
}

TEST_CASE("a kit plan keeps to its money and drawers and is never worse than reorder points") {
    for (const std::uint64_t seed : {5, 6}) {
        KitRequest request = smallShop(seed);
        request.budget = 5000;
        request.drawers = 8;
        request.curve = seed == 5;
        const KitPlan plan = planKit(request);
        CAPTURE(seed);
        CHECK(plan.cost <= 5000);
        CHECK(plan.plain_cost <= 5000);
        CHECK(plan.sizes.size() <= 8);
        CHECK(plan.fresh.mean >= plan.plain.mean);
        CHECK(plan.plain.mean >= plan.plain_alone);
        CHECK(plan.coverage <= plan.coverage_bound + 1e-12);
        CHECK(plan.fresh_foreseen.mean >= plan.fresh.mean);
        CHECK(plan.fresh.low <= plan.fresh.mean);
        CHECK(plan.fresh.high >= plan.fresh.mean);
        std::int64_t cost = 0;
        for (const KitSizePlan& size : plan.sizes)
            cost += size.packs_to_buy * request.stock[static_cast<std::size_t>(size.size)].pack_price;
        CHECK(cost == plan.cost);
        for (std::size_t i = 1; i < plan.curve.size(); ++i)
            CHECK(plan.curve[i].budget > plan.curve[i - 1].budget);
        if (request.curve) CHECK(plan.curve.back().coverage >= plan.curve.front().coverage);
    }
}

TEST_CASE("more money never builds less, and no budget's plan less than its reorder points") {
    for (const std::uint64_t seed : {11, 12, 13}) {
        for (const std::int64_t budget : {900, 4000, 40'000}) {
            KitRequest request = smallShop(seed);
            request.curve = true;
            request.budget = budget;
            const KitPlan plan = planKit(request);
            CAPTURE(seed, budget);
            REQUIRE(plan.curve.size() == 8);
            double least = 0;
            for (const KitCurvePoint& point : plan.curve) {
                CAPTURE(point.budget);
                CHECK(point.cost <= point.budget);
                CHECK(point.fresh >= least);
                CHECK(point.fresh >= point.plain - 1e-12);
                least = point.fresh;
                if (point.budget <= plan.budget) CHECK(plan.fresh.mean >= point.fresh - 1e-12);
                if (point.budget != plan.budget) continue;
                CHECK(point.fresh == Approx(plan.fresh.mean));
                CHECK(point.plain == Approx(plan.plain.mean));
                CHECK(point.cost == plan.cost);
            }
        }
    }
}

TEST_CASE("what a kit plan cannot be made of is a sentence") {
    const auto refuses = [](KitRequest request, const std::string& words) {
        CHECK_THROWS_WITH(planKit(request), Contains(words));
    };
    KitRequest request = smallShop();
    KitRequest none = request;
    none.wanted.clear();
    refuses(none, "give recipes");
    KitRequest nothing = request;
    nothing.sizes.clear();
    nothing.stock.clear();
    refuses(nothing, "nothing to choose from");
    KitRequest poor = request;
    poor.budget = 0;
    refuses(poor, "budget of 0");
    KitRequest never = request;
    for (WantedStack& one : never.wanted) one.jobs_a_year = 0;
    refuses(never, "no job is expected");
    KitRequest crowded = request;
    crowded.drawers = 1;
    crowded.stock[0].kept = crowded.stock[1].kept = true;
    refuses(crowded, "than there are drawers");
}

TEST_CASE("a stack that nothing can build is told and where there is none other it is proved impossible") {
    KitRequest request = smallShop();
    // One stack whose face has no size on sale.
    request.wanted.push_back({"wide", test::inUsualValve("4 x 40 x 0.15; 1 x 12 x 0.20"), 2, 5, 0});
    const WantedStack lost = request.wanted.back();
    KitRequest alone = request;
    alone.wanted = {lost};
    const KitPlan impossible = planKit(alone);
    CHECK(impossible.status == KitStatus::nothing_possible);
    CHECK_THAT(impossible.notes.front(), Contains("no wanted stack can be built"));
    const KitPlan plan = planKit(request);
    CHECK(plan.status != KitStatus::nothing_possible);
    CHECK(std::any_of(plan.notes.begin(), plan.notes.end(), [&](const std::string& note) {
        return note.find(lost.name + " cannot be built") != std::string::npos;
    }));
}

TEST_CASE("recipes are read and what is wrong of one is named") {
    const std::string stack = R"("valve": {"clamp_od_mm": 10, "port_inner_diameter_mm": 13,
        "port_outer_diameter_mm": 20, "shim_id_mm": 6}, "discs": [{"count": 4, "od_mm": 24, "thickness_mm": 0.15}])";
    const auto recipes =
        parseRecipeJson(R"({"recipes": [{"name": "trail", "jobs_a_year": 6, "legs": 1, )" + stack + "}]}");
    REQUIRE(recipes.size() == 1);
    CHECK(recipes[0].name == "trail");
    CHECK(recipes[0].legs == 1);
    CHECK(recipes[0].jobs_a_year == 6);
    const auto refuses = [](const std::string& text, const std::string& words) {
        CHECK_THROWS_AS(parseRecipeJson(text), InputError);
        CHECK_THROWS_WITH(parseRecipeJson(text), Contains(words));
    };
    refuses("{", "not valid JSON");
    refuses("{}", "recipes");
    refuses(R"({"recipes": []})", "at least one");
    refuses(R"({"recipes": [{"name": "trail", )" + stack + "}]}", "jobs_a_year");
    refuses(R"({"recipes": [{"jobs_a_year": -1, )" + stack + "}]}", "0 to 100000");
    refuses(R"({"recipes": [{"jobs_a_year": 1, "legs": 9, )" + stack + "}]}", "1 to 4");
    refuses(R"({"recipes": [{"jobs_a_year": 1, "colour": 9, )" + stack + "}]}", "colour");
}

TEST_CASE("a hundred and thirty invented recipes", "[.long]") {
    for (const int recipes : {30, 130, 400, 1000}) {
        KitRequest request = inventedShop(recipes, 7, 250);
        request.curve = recipes == 130;
        request.progress = [&](const std::string&) { return true; };
        const KitPlan plan = planKit(request);
        std::cout << recipes << " recipes: ways " << plan.seconds_ways << " s, first plan "
                  << plan.seconds_first_plan << " s, all " << plan.seconds << " s; cost " << plan.cost
                  << ", built " << plan.coverage << " of " << plan.coverage_bound << ", fresh "
                  << plan.fresh.mean << " (seen " << plan.fresh_seen << ", unseen " << plan.fresh_unseen
                  << "), reorder points " << plan.plain.mean << " (" << plan.plain_alone
                  << " without stand-ins) for " << plan.plain_cost << "; " << plan.sizes.size()
                  << " sizes against " << plan.plain_sizes << ", statistical gap " << plan.statistical_gap
                  << "\n";
        for (const KitCurvePoint& point : plan.curve)
            std::cout << "  " << point.budget << ": " << point.fresh << ", reorder points " << point.plain
                      << ", " << point.sizes << " sizes\n";
        CHECK(plan.fresh.mean >= plan.plain.mean);
    }
}
