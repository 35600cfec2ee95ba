// SPDX-License-Identifier: GPL-3.0-or-later
#include <benchmark/benchmark.h>

#include "planner/substitute/substitute_search.h"
#include "tests/planner/one_group_problem.h"

#include <chrono>
#include <random>
#include <vector>

using namespace shimledger::planner;

// The one-group problem in small deflection, by the search and by the mixed-integer solver cbc, in one run
// and in turn. The search also computes curves, which cbc is spared; cbc is started for each problem, which
// the search is spared: "start" is what cbc takes for a problem of one size, "solve" what is above that.

namespace {

constexpr int problems = 60;

double secondsOf(const auto& work) {
    const auto start = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

void searchAgainstSolver(benchmark::State& state) {
    const test::CbcProgram cbc;
    std::mt19937 random(2026);
    std::vector<test::OneGroupProblem> list;
    for (int i = 0; i < problems; ++i) list.push_back(test::OneGroupProblem::random(random));
    test::OneGroupProblem trivial;
    trivial.thickness = {10};
    trivial.pieces = {1};
    double search_s = 0, cbc_s = 0, start_s = 0;
    for (auto _ : state) {
        for (const test::OneGroupProblem& problem : list) {
            const SubstituteRequest request = problem.request();
            search_s += secondsOf([&] { benchmark::DoNotOptimize(findSubstitutes(request)); });
            cbc_s += secondsOf([&] { benchmark::DoNotOptimize(cbc.leastDeviation(problem)); });
            start_s += secondsOf([&] { benchmark::DoNotOptimize(cbc.leastDeviation(trivial)); });
        }
    }
    const double each = 1e3 / (problems * static_cast<double>(state.iterations()));
    state.counters["search_ms"] = search_s * each;
    state.counters["cbc_start_ms"] = start_s * each;
    state.counters["cbc_solve_ms"] = (cbc_s - start_s) * each;
    state.counters["cbc_over_search"] = cbc_s / search_s;
    state.counters["solve_over_search"] = (cbc_s - start_s) / search_s;
}
BENCHMARK(searchAgainstSolver)->Unit(benchmark::kMillisecond)->UseRealTime();

} // namespace
