// SPDX-License-Identifier: GPL-3.0-or-later
#include <benchmark/benchmark.h>

#include "planner/mechanics/lift_model.h"
#include "planner/stack/stack_text.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;

namespace {

/// Nine groups: the public two-stage crossover stack of tests/planner/data/fe_curves.json with a ninth disc
/// behind it.
StackSpec crossoverStack() {
    const auto mm = Length::fromMillimetres;
    return {{mm(10), mm(13), mm(20), mm(6), {}, {}},
            parseStackText("5 x 24 x 0.10, 1 x 14 x 0.10, 1 x 23 x 0.15, 1 x 21 x 0.15, 1 x 19 x 0.15, "
                           "1 x 17 x 0.15, 1 x 15 x 0.15, 1 x 13 x 0.20, 1 x 12 x 0.20")};
}

std::vector<double> tenLifts() {
    std::vector<double> lifts;
    for (int i = 1; i <= 10; ++i) lifts.push_back(0.03 * i);
    return lifts;
}

/// Largest relative difference of the default grid from the fine one.
double gridError(Regime regime) {
    const StackSpec stack = crossoverStack();
    const GroupedStack grouped = groupStack(stack);
    const std::vector<double> lifts = tenLifts();
    std::vector<double> coarse(lifts.size()), fine(lifts.size());
    const LiftModel model(stack.valve(), grouped.shapes);
    const LiftModel fine_model(stack.valve(), grouped.shapes, GridOptions::fineGrid());
    LiftWorkspace workspace = model.makeWorkspace(), fine_workspace = fine_model.makeWorkspace();
    if (!model.pressuresAtLifts(grouped.sums, lifts, regime, workspace, coarse).converged ||
        !fine_model.pressuresAtLifts(grouped.sums, lifts, regime, fine_workspace, fine).converged)
        return 1;
    double error = 0;
    for (std::size_t i = 0; i < lifts.size(); ++i) error = std::max(error, std::abs(coarse[i] / fine[i] - 1));
    return error;
}

void curve(benchmark::State& state, Regime regime) {
    const StackSpec stack = crossoverStack();
    const GroupedStack grouped = groupStack(stack);
    const LiftModel model(stack.valve(), grouped.shapes);
    const std::vector<double> lifts = tenLifts();
    std::vector<double> pressures(lifts.size());
    int steps = 0;
    for (auto _ : state) {
        state.PauseTiming(); // a new workspace knows nothing of an earlier solution
        LiftWorkspace workspace = model.makeWorkspace();
        state.ResumeTiming();
        const SolveReport report = model.pressuresAtLifts(grouped.sums, lifts, regime, workspace, pressures);
        if (!report.converged) state.SkipWithError("did not converge");
        steps = report.newton_steps;
        benchmark::DoNotOptimize(pressures.data());
    }
    state.counters["linear_solves"] = steps;
    state.counters["grid_error_percent"] = 100 * gridError(regime);
}

/// A solved stack and its neighbour, whose second-last group is 0.05 mm thicker, by turns.
void neighbour(benchmark::State& state, Regime regime) {
    const StackSpec stack = crossoverStack();
    const GroupedStack grouped = groupStack(stack);
    std::vector<GroupSums> changed = grouped.sums;
    changed[7] = sumsOf(1, 0.25, Material{}.elastic_modulus_mpa);
    const LiftModel model(stack.valve(), grouped.shapes);
    LiftWorkspace workspace = model.makeWorkspace();
    const std::vector<double> lifts = tenLifts();
    std::vector<double> pressures(lifts.size());
    bool other = false;
    int steps = 0;
    for (auto _ : state) {
        other = !other;
        const SolveReport report =
            model.pressuresAtLifts(other ? changed : grouped.sums, lifts, regime, workspace, pressures);
        if (!report.converged) state.SkipWithError("did not converge");
        steps = report.newton_steps;
        benchmark::DoNotOptimize(pressures.data());
    }
    state.counters["linear_solves"] = steps;
}

void tables(benchmark::State& state) {
    const StackSpec stack = crossoverStack();
    const GroupedStack grouped = groupStack(stack);
    for (auto _ : state) {
        const LiftModel model(stack.valve(), grouped.shapes);
        benchmark::DoNotOptimize(&model);
    }
}

BENCHMARK_CAPTURE(curve, small_ten_points, Regime::small)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(curve, large_ten_points, Regime::large)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(neighbour, small_ten_points, Regime::small)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(neighbour, large_ten_points, Regime::large)->Unit(benchmark::kMicrosecond);
BENCHMARK(tables)->Unit(benchmark::kMicrosecond);

} // namespace
