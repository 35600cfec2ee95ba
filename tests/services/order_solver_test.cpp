// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/order_solver.h"

#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

#include <filesystem>
#include <fstream>
#include <limits>
#include <random>

using namespace shimledger;
using namespace shimledger::planner;
using services::OrderSolver;
using services::solveOrderPlan;

namespace {

/// Every number of packs of every offer, up to what alone would serve or reach the last price step: shares
/// nothing with model or rule but the cost of a plan.
double leastByTrying(const OrderPlanProblem& problem) {
    std::vector<std::int64_t> packs(problem.offers.size(), 0), most;
    for (const PlanOffer& offer : problem.offers) {
        const std::int64_t wanted = problem.parts[static_cast<std::size_t>(offer.part)].wanted;
        most.push_back(std::max(wanted / offer.pack_size + 1, offer.prices.back().from_packs));
    }
    double least = std::numeric_limits<double>::infinity();
    for (;;) {
        std::vector<std::int64_t> pieces(problem.parts.size(), 0);
        for (std::size_t i = 0; i < packs.size(); ++i) {
            pieces[static_cast<std::size_t>(problem.offers[i].part)] +=
                packs[i] * problem.offers[i].pack_size;
        }
        bool serves = true;
        for (std::size_t p = 0; p < pieces.size(); ++p) {
            const auto limit = mostOf(problem, static_cast<int>(p));
            serves = serves && pieces[p] >= problem.parts[p].wanted && (!limit || pieces[p] <= *limit);
        }
        if (serves) least = std::min(least, costOfPlan(problem, packs).total());
        std::size_t digit = 0;
        while (digit < packs.size() && packs[digit] == most[digit]) packs[digit++] = 0;
        if (digit == packs.size()) return least;
        ++packs[digit];
    }
}

OrderPlanProblem randomProblem(std::mt19937& random) {
    const auto draw = [&](std::int64_t least, std::int64_t greatest) {
        return least + static_cast<std::int64_t>(random() % static_cast<unsigned>(greatest - least + 1));
    };
    OrderPlanProblem problem;
    const int suppliers = static_cast<int>(draw(2, 3)), parts = static_cast<int>(draw(1, 3));
    for (int s = 0; s < suppliers; ++s)
        problem.suppliers.push_back({draw(0, 900), draw(0, 1) * draw(500, 4000),
                                     static_cast<int>(draw(1, 12)), draw(0, 1) * draw(100, 1500)});
    for (int p = 0; p < parts; ++p) {
        PlanPart part;
        part.wanted = draw(1, 9);
        if (draw(0, 3) == 0) part.most = draw(1, 12);
        problem.parts.push_back(part);
        const int first = static_cast<int>(draw(0, suppliers - 1));
        for (int s = 0; s < suppliers; ++s) {
            if (s != first && draw(0, 1) == 0) continue;
            PlanOffer offer{s, p, draw(2, 5), {{1, draw(100, 900)}}};
            if (draw(0, 1) == 1) {
                offer.prices.push_back({draw(2, 3), offer.prices[0].price * draw(60, 95) / 100});
            }
            problem.offers.push_back(offer);
        }
    }
    for (std::int64_t w = draw(0, 3); w > 0; --w) { // jobs that wait for one part or for several
        PlanWait wait;
        wait.free_days = static_cast<int>(draw(-2, 9));
        wait.price = draw(0, 150);
        for (int p = 0; p < parts; ++p) {
            if (p > 0 && draw(0, 1) == 0) continue;
            wait.needs.push_back({p, draw(1, problem.parts[static_cast<std::size_t>(p)].wanted)});
        }
        problem.waits.push_back(wait);
    }
    return problem;
}

} // namespace

TEST_CASE("the solver's plans cost exactly the least that trying every plan gives, the rule's never less") {
    const OrderSolver solver;
    REQUIRE_FALSE(solver.program.empty()); // coinor-cbc, .ci/packages
    std::mt19937 random(20261125);
    int rule_was_dearer = 0, waited = 0, filled = 0;
    for (int round = 0; round < 60; ++round) {
        INFO("round " << round);
        const OrderPlanProblem problem = randomProblem(random);
        const double least = leastByTrying(problem);
        const OrderPlan plan = solveOrderPlan(problem, solver);
        CHECK(plan.method == PlanMethod::solver);
        CHECK(plan.cost.total() == Approx(least).epsilon(1e-9));
        CHECK(plan.gap() == 0);
        waited += plan.cost.waiting > 0 ? 1 : 0;
        filled += plan.cost.filled > 0 ? 1 : 0;
        const OrderPlan by_rule = planByRule(problem);
        CHECK(by_rule.cost.total() >= least - 1e-6);
        CHECK(by_rule.lower_bound <= least + 1e-6);
        rule_was_dearer += by_rule.cost.total() > least + 1 ? 1 : 0;
    }
    CHECK(rule_was_dearer > 0); // else the solver would not be worth its keep
    CHECK(waited > 0);
    CHECK(filled > 0);
}

TEST_CASE("a job that is due is not made to wait to save some cents, and one that is not due may wait") {
    OrderPlanProblem problem;
    problem.suppliers = {{0, 0, 9}, {0, 0, 2}}; // the far one is cheaper by 2.00
    problem.parts = {{4}};
    problem.offers = {{0, 0, 10, {{1, 800}}}, {1, 0, 10, {{1, 1000}}}};
    problem.waits = {{{{0, 4}}, 4, 500}}; // due in 4 days, 5.00 for each day beyond
    const OrderPlan due = solveOrderPlan(problem, OrderSolver{});
    CHECK(due.packs == std::vector<std::int64_t>{0, 1});
    CHECK(dayServed(problem, problem.waits[0], due.packs) == 2);
    CHECK(due.cost.waiting == 0);
    CHECK(planByRule(problem).packs == due.packs);
    problem.waits[0].free_days = 9;
    CHECK(solveOrderPlan(problem, OrderSolver{}).packs == std::vector<std::int64_t>{1, 0});
    problem.waits[0].needs[0].pieces = 5; // more than is bought
    CHECK_THROWS_AS(solveOrderPlan(problem, OrderSolver{}), InputError);
}

TEST_CASE("without a solver, or with one that breaks down, the rule answers and says why") {
    OrderPlanProblem problem;
    problem.suppliers = {{500, 0}};
    problem.parts = {{3}};
    problem.offers = {{0, 0, 2, {{1, 100}}}};
    OrderSolver none;
    none.program.clear();
    const OrderPlan plan = solveOrderPlan(problem, none);
    CHECK(plan.method == PlanMethod::rule);
    CHECK(plan.cost.total() == 700);
    CHECK(plan.why_rule == "the solver cbc is not installed");
    OrderSolver missing;
    missing.program = "/no/such/program";
    CHECK(solveOrderPlan(problem, missing).why_rule == "the solver /no/such/program could not be run");
    OrderSolver silent;
    silent.program = "/bin/true";
    CHECK(solveOrderPlan(problem, silent).why_rule == "the solver gave no plan");
    problem.parts[0].wanted = 0;
    CHECK_THROWS_AS(solveOrderPlan(problem, none), InputError);
    CHECK(solveOrderPlan({}, OrderSolver{}).method == PlanMethod::none);
}
