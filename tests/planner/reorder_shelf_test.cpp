// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/reorder/shelf_service.h"
#include "planner/units/input_error.h"
#include "tests/comparisons/replenishment/shelf_run.h"

#include <catch2/catch.hpp>

#include <algorithm>

using namespace shimledger::planner;
using shimledger::comparison::DemandProcess;

namespace {

/// A part whose truth is known.
DemandForecast known(double jobs, const JobSizes& sizes, double clumping = 1) {
    DemandForecast forecast;
    forecast.method = ForecastMethod::own;
    forecast.jobs = jobs;
    forecast.clumping = clumping;
    forecast.sizes = sizes;
    forecast.mean_size = sizes.mean();
    return forecast;
}

} // namespace

TEST_CASE("jobs of one piece, looked at all the time, are served as the books' fill rate says") {
    const LeadTimeDemand demand(0.9, 0.9, {{2, 1}});
    const ShelfService shelf(known(0.9, {{{1, 1.0}}}), {{2, 1}}, 0);
    for (const int lot : {1, 3, 10}) {
        for (const int point : {0, 1, 2, 4}) {
            INFO(point << ", " << lot);
            CHECK(shelf.withLot(lot).servedShare(point) == Approx(demand.fillRate(point, lot)).epsilon(1e-9));
            CHECK(shelf.withLot(lot).onHand(point) == Approx(demand.onHand(point, lot)).epsilon(1e-6));
        }
        CHECK(shelf.withLot(lot).orders() == Approx(0.9 / lot));
    }
}

TEST_CASE("lumps, clumps and weekly looks are served as a simulation of ten thousand weeks says") {
    struct Case {
        const char* what;
        DemandProcess process;
        JobSizes sizes;
        double clumping;
    };
    using Sizes = shimledger::comparison::Sizes;
    JobSizes up_to_24;
    for (int pieces = 1; pieces <= 24; ++pieces) up_to_24.chances.push_back({pieces, 1.0 / 24});
    std::vector<Case> cases{{"steady", {"", 4, Sizes::one}, {{{1, 1.0}}}, 1},
                            {"lumpy", {"", 0.3, Sizes::oneToTwentyFour}, up_to_24, 1},
                            {"clumped", {"", 0.6, Sizes::one}, {{{1, 1.0}}}, 5}};
    cases[2].process.shape = DemandProcess::Shape::clumped; // clumps of 3 in the mean: variance / mean = 5
    for (const Case& one : cases) {
        const shimledger::comparison::Terms terms;
        const ShelfService shelf(known(one.process.jobs_a_week, one.sizes, one.clumping),
                                 shimledger::comparison::leadTime(terms), terms.review_weeks);
        for (const double promise : {0.8, 0.95}) {
            const int lot = 20, point = shelf.withLot(lot).pointFor(promise);
            const auto outcome = shimledger::comparison::runShelf(
                one.process,
                [&](const auto&) {
                    return shimledger::comparison::Levels{point, point + lot, 0};
                },
                terms, 20261129, 10000);
            INFO(one.what << " " << promise << ": " << point);
            CHECK(outcome.share() == Approx(shelf.withLot(lot).servedShare(point)).margin(0.015));
            CHECK(outcome.holding / outcome.weeks / terms.holding ==
                  Approx(shelf.withLot(lot).onHand(point)).epsilon(0.06).margin(0.3));
            CHECK(outcome.lines / outcome.weeks / terms.line_cost ==
                  Approx(shelf.withLot(lot).orders()).epsilon(0.08));
            CHECK(shelf.withLot(lot).servedShare(point) >= promise);
            if (point > 0) CHECK(shelf.withLot(lot).servedShare(point - 1) < promise);
        }
    }
}

TEST_CASE("a chance that s outlasts the lead time is not what jobs of many pieces are served by") {
    JobSizes up_to_24;
    for (int pieces = 1; pieces <= 24; ++pieces) up_to_24.chances.push_back({pieces, 1.0 / 24});
    const auto lead = leadTimeChances({9, 3, 0}, 7);
    const DemandForecast lumpy = known(0.05, up_to_24);
    const double variance = lumpy.jobs * lumpy.sizes.meanSquare();
    const int by_chance =
        LeadTimeDemand(lumpy.mean(), variance, leadTimeChances({9, 3, 7}, 7)).quantile(0.95);
    const ShelfService shelf(lumpy, lead, 1);
    CHECK(shelf.withLot(4).servedShare(by_chance) < 0.75);
    CHECK(shelf.withLot(4).servedShare(shelf.withLot(4).pointFor(0.95)) >= 0.95);
}

TEST_CASE(
    "what is not known of the rate raises the reorder point, as do longer and less certain lead times") {
    DemandForecast sure = known(1, {{{1, 0.5}, {2, 0.5}}}), unsure = sure;
    unsure.jobs_variance = 0.3;
    const auto point = [](const DemandForecast& forecast, double days, double spread, double review) {
        return ShelfService(forecast, leadTimeChances({days, spread, 0}, 7), review)
            .withLot(10)
            .pointFor(0.95);
    };
    CHECK(point(unsure, 14, 0, 1) > point(sure, 14, 0, 1));
    CHECK(point(sure, 42, 0, 1) > point(sure, 14, 0, 1));
    CHECK(point(sure, 14, 10, 1) > point(sure, 14, 0, 1));
    CHECK(point(sure, 14, 0, 8) > point(sure, 14, 0, 1));
}

TEST_CASE("the policy is no dearer than any reorder point and lot that keep the promise") {
    const DemandForecast forecast = known(0.8, {{{1, 0.5}, {4, 0.5}}});
    const ShelfService shelf(forecast, leadTimeChances({9, 3, 0}, 7), 1);
    const ShelfCosts costs{200, 20.0 / 52};
    const auto policy = shelfPolicy(shelf, forecast.jobs, 0.95, costs, 65, 200);
    CHECK(policy.served_share >= 0.95);
    double least = 1e18;
    for (int lot = 5; lot <= 120; lot += 5) {
        const auto with = shelf.withLot(lot);
        const int point = with.pointFor(0.95);
        least = std::min(least, costs.order * with.orders() + costs.holding * with.onHand(point));
    }
    CHECK(policy.cost <= 1.02 * least);
    // A stopped job that costs much is worth more stock than was promised.
    const auto dear = shelfPolicy(shelf, forecast.jobs, 0.95, {200, 20.0 / 52, 2000}, 65, 200);
    CHECK(dear.served_share > 0.99);
    CHECK(dear.reorder_point > policy.reorder_point);
    CHECK(shelfPolicy(shelf, forecast.jobs, 0.95, costs, 65, 7).lot <= 7);
    CHECK(shelfPolicy(shelf, forecast.jobs, 0.95, costs, 65, 200, true).lot == 65);
}

TEST_CASE("fluids by the thousand and busy parts are worked out all the same") {
    const ShelfService fluid(known(0.7, JobSizes::geometric(900)), leadTimeChances({2, 1, 0}, 7), 1);
    const int point = fluid.withLot(5000).pointFor(0.95);
    CHECK(point > 500);
    CHECK(point < 6000);
    const ShelfService busy(known(400, {{{1, 1.0}}}), {{4, 1}}, 1);
    const int enough = busy.withLot(800).pointFor(0.99);
    CHECK(enough > 1400);
    CHECK(enough < 2100);
}

TEST_CASE("the promise is kept over two years in which the rule learns, for parts whose truth is known") {
    // The long form, with an oracle beside it, is tests/comparisons/replenishment.
    namespace comparison = shimledger::comparison;
    const comparison::Terms terms;
    for (const DemandProcess& process : comparison::demandProcesses()) {
        if (!process.judged) continue;
        comparison::Outcome sum;
        for (unsigned run = 0; run < 30; ++run) {
            sum.add(comparison::runShelf(process, comparison::ruleNow(process, terms), terms, 40'000 + run));
        }
        INFO(process.name << ": " << sum.share());
        CHECK(sum.share() > terms.promise - 0.04); // two points, and what 30 runs scatter by
    }
}

TEST_CASE("impossible figures of a shelf are named") {
    using shimledger::InputError;
    const DemandForecast forecast = known(1, {{{1, 1.0}}});
    CHECK_THROWS_AS(ShelfService(forecast, {}, 1), InputError);
    CHECK_THROWS_AS(ShelfService(forecast, {{2, 0.5}}, 1), InputError);
    CHECK_THROWS_AS(ShelfService(forecast, {{-2, 1}}, 1), InputError);
    CHECK_THROWS_AS(ShelfService(forecast, {{2, 1}}, -1), InputError);
    CHECK_THROWS_AS(ShelfService(known(-1, {}), {{2, 1}}, 1), InputError);
    const ShelfService shelf(forecast, {{2, 1}}, 1);
    CHECK_THROWS_AS(shelf.withLot(0), InputError);
    CHECK_THROWS_AS(shelf.withLot(1).servedShare(-1), InputError);
    CHECK_THROWS_AS(shelf.withLot(1).pointFor(1), InputError);
}
