// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/reorder/order_model.h"
#include "planner/reorder/order_plan.h"
#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

#include <stdexcept>

using namespace shimledger::planner;

namespace {

/// Part 0 from two suppliers, part 1 from both; freight 500 and 300, minimum 2000 at the first.
OrderPlanProblem twoSuppliers() {
    OrderPlanProblem problem;
    problem.suppliers = {{500, 2000}, {300, 0}};
    problem.parts = {{12}, {4}};
    problem.offers = {
        {0, 0, 10, {{1, 800}}}, {1, 0, 5, {{1, 560}}}, {0, 1, 2, {{1, 300}}}, {1, 1, 1, {{1, 200}}}};
    return problem;
}

} // namespace

TEST_CASE(
    "a plan is costed from nothing but the problem: parts, freight, and what an order lacks of its minimum") {
    const auto problem = twoSuppliers();
    const auto cost = costOfPlan(problem, {2, 0, 0, 4}); // 1600 + 800, 500 + 300, 400 below the minimum
    CHECK(cost.parts == 2400);
    CHECK(cost.freight == 800);
    CHECK(cost.below_minimum == 400);
    CHECK(cost.total() == 3600);
    CHECK_THROWS_AS(costOfPlan(problem, {1, 0, 0, 4}), std::logic_error);
    CHECK_THROWS_AS(costOfPlan(problem, {2, 0, 0, -4}), std::logic_error);
    CHECK_THROWS_AS(costOfPlan(problem, {2, 0}), std::logic_error);
}

TEST_CASE("without a solver suppliers are left out as long as that saves, and the bound says how far it may "
          "be off") {
    const auto plan = planByRule(twoSuppliers());
    CHECK(plan.method == PlanMethod::rule);
    // Each part at its cheapest: 2 x 800 and 2 x 300 at the first, 2200 + 500; all from the second: 1680 +
    // 800 + 300.
    CHECK(plan.cost.total() == 2700);
    CHECK(plan.packs == std::vector<std::int64_t>{2, 0, 2, 0});
    CHECK(plan.lower_bound <= 2700);
    CHECK(plan.lower_bound == simpleBound(twoSuppliers()));
    CHECK(plan.gap() > 0);
    CHECK(plan.gap() < 0.6);
}

TEST_CASE("a price break is taken where more packs cost less in all") {
    OrderPlanProblem problem;
    problem.suppliers = {{}};
    problem.parts = {{8}};
    problem.offers = {{0, 0, 1, {{1, 100}, {10, 70}}}};
    CHECK(planByRule(problem).packs == std::vector<std::int64_t>{10});
    problem.parts[0].most = 9; // shelf life
    CHECK(planByRule(problem).packs == std::vector<std::int64_t>{8});
    problem.parts[0].most = 3; // less than wanted: the least that serves
    CHECK(mostOf(problem, 0) == 8);
    CHECK(planByRule(problem).packs == std::vector<std::int64_t>{8});
}

TEST_CASE("missing prices, packs of zero and prices that rise are named") {
    const auto broken = [](auto change) {
        OrderPlanProblem problem = twoSuppliers();
        change(problem);
        return problem;
    };
    using shimledger::InputError;
    CHECK_THROWS_AS(planByRule(broken([](auto& p) { p.offers[0].prices.clear(); })), InputError);
    CHECK_THROWS_AS(planByRule(broken([](auto& p) { p.offers[0].prices[0].price = 0; })), InputError);
    CHECK_THROWS_AS(planByRule(broken([](auto& p) { p.offers[0].pack_size = 0; })), InputError);
    CHECK_THROWS_AS(planByRule(broken([](auto& p) { p.offers[0].prices = {{1, 5}, {3, 6}}; })), InputError);
    CHECK_THROWS_AS(planByRule(broken([](auto& p) { p.offers[0].supplier = 7; })), InputError);
    CHECK_THROWS_AS(planByRule(broken([](auto& p) { p.suppliers[0].freight = -1; })), InputError);
    CHECK_THROWS_AS(planByRule(broken([](auto& p) { p.parts[0].wanted = 0; })), InputError);
    CHECK_THROWS_AS(planByRule(broken([](auto& p) { p.parts.push_back({1}); })), InputError);
}

TEST_CASE("the model names every pack, switch and limit") {
    OrderPlanProblem problem = twoSuppliers();
    problem.offers[1].prices = {{1, 560}, {3, 500}};
    problem.parts[0].most = 30;
    const std::string text = orderModelText(problem);
    for (const char* piece :
         {"Minimize", " + 560 x1_0", " + 500 x1_1", "want0:", "most0:", " <= 30", "from1_1:", " - 3 y1_1",
          "minimum0:", " - 2000 z0", "Generals", "Binaries", "End"}) {
        INFO(piece);
        CHECK(text.find(piece) != std::string::npos);
    }
}

TEST_CASE("a solver's answer is read, costed anew, and never trusted") {
    const auto problem = twoSuppliers();
    const char* optimal =
        "Optimal - objective value 2700.00000000\n"
        "      0 x0_0       2       800\n      2 x2_0       2       300\n      5 z0    1    500\n";
    const auto solution = readOrderSolution(problem, optimal);
    CHECK(solution.optimal);
    const auto plan = finishOrderPlan(problem, solution, {}, "");
    CHECK(plan.method == PlanMethod::solver);
    CHECK(plan.cost.total() == 2700);
    CHECK(plan.gap() == 0);

    const auto stopped =
        readOrderSolution(problem, "Stopped on time - objective value 3600\n 0 x0_0 2 800\n 3 x3_0 4 200\n");
    CHECK(stopped.usable);
    CHECK_FALSE(stopped.optimal);
    const auto behind = finishOrderPlan(problem, stopped, 2600.0, "");
    CHECK(behind.cost.total() == 2700); // the rule was better
    CHECK(behind.gap() == Approx(100.0 / 2700));

    for (const char* none :
         {"", "Infeasible - objective value 0\n", "Optimal - objective value 1\n 0 x0_0 one 8\n",
          "Stopped on time (no integer solution - continuous used)\n 0 x0_0 1.2 8\n"}) {
        INFO(none);
        CHECK_FALSE(readOrderSolution(problem, none).usable);
        const auto fallback = finishOrderPlan(problem, readOrderSolution(problem, none), {}, "no answer");
        CHECK(fallback.method == PlanMethod::rule);
        CHECK(fallback.why_rule == "no answer");
    }
    const auto short_plan = readOrderSolution(problem, "Optimal - objective value 1\n 0 x0_0 1 8\n");
    CHECK(finishOrderPlan(problem, short_plan, {}, "").method == PlanMethod::rule);
    CHECK(readLowerBound("Result - Stopped on time limit\n\nLower bound:        2600.250\nGap: 0.04\n") ==
          Approx(2600.25));
    CHECK_FALSE(readLowerBound("nothing").has_value());
}
