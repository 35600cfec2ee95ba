// SPDX-License-Identifier: GPL-3.0-or-later
// A solver that does not end by itself holds nobody, and leaves nothing behind.
#include "app/services/order_solver.h"
#include "tests/services/fake_solver.h"

#include <sys/wait.h>
#include <unistd.h>

#include <catch2/catch.hpp>

#include <csignal>
#include <filesystem>
#include <string>
#include <thread>

using namespace shimledger;
using namespace shimledger::services;

namespace {

planner::OrderPlanProblem smallProblem() {
    planner::OrderPlanProblem problem;
    problem.suppliers = {{500, 0}};
    problem.parts = {{3}};
    problem.offers = {{0, 0, 2, {{1, 100}}}};
    return problem;
}

} // namespace

TEST_CASE("a solver that hangs is killed when the caller stops, with all that it began") {
    for (const std::string& script : {hangs, hangs_whatever_it_is_told}) {
        INFO(script);
        const FakeSolver fake(script);
        std::stop_source stop;
        OrderSolver solver;
        solver.program = fake.program();
        solver.stop = stop.get_token();
        solver.seconds = 1000;
        std::jthread caller([&] {
            fake.waitUntilItRuns();
            stop.request_stop();
        });
        const planner::OrderPlan plan = solveOrderPlan(smallProblem(), solver);
        CHECK(plan.why_rule == "the plan was stopped");
        CHECK(plan.cost.total() == 700);
        CHECK_FALSE(fake.leftFiles());
        fake.waitUntilAllAreGone();
    }
}

TEST_CASE("a solver that hangs beyond its time limit is killed, and the rule answers") {
    for (const std::string& script : {hangs, hangs_whatever_it_is_told}) {
        INFO(script);
        const FakeSolver fake(script);
        OrderSolver solver;
        solver.program = fake.program();
        solver.seconds = 1;
        solver.grace_seconds = 0;
        const planner::OrderPlan plan = solveOrderPlan(smallProblem(), solver);
        CHECK(plan.method == planner::PlanMethod::rule);
        CHECK(plan.why_rule ==
              "the solver " + fake.program().string() + " had not ended after 1 s and was killed");
        CHECK_FALSE(fake.leftFiles());
        fake.waitUntilAllAreGone();
    }
}

TEST_CASE("what a solver began and left running ends with it") {
    const FakeSolver fake("exit 0");
    OrderSolver solver;
    solver.program = fake.program();
    CHECK(solveOrderPlan(smallProblem(), solver).why_rule == "the solver gave no plan");
    fake.waitUntilAllAreGone();
}

TEST_CASE("a stop that was asked for before begins no solver at all") {
    const FakeSolver fake(hangs);
    std::stop_source stop;
    stop.request_stop();
    OrderSolver solver;
    solver.program = fake.program();
    solver.stop = stop.get_token();
    CHECK(solveOrderPlan(smallProblem(), solver).why_rule == "the plan was stopped");
    CHECK_FALSE(fake.hasRun());
    CHECK_FALSE(fake.leftFiles());
}

TEST_CASE("a solver dies with the program that runs it, however that dies") {
    // The kernel kills the one process that was begun; cbc is one, with threads.
    const FakeSolver fake("exec sleep 1000", Company::none);
    const pid_t program = ::fork();
    REQUIRE(program >= 0);
    if (program == 0) {
        OrderSolver solver;
        solver.program = fake.program();
        (void)solveOrderPlan(smallProblem(), solver);
        ::_exit(0);
    }
    fake.waitUntilItRuns();
    ::kill(program, SIGKILL);
    int status = 0;
    REQUIRE(::waitpid(program, &status, 0) == program);
    CHECK(WIFSIGNALED(status));
    fake.waitUntilAllAreGone();
}
