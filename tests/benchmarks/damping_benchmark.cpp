// SPDX-License-Identifier: GPL-3.0-or-later
// What damping costs beside the lift curve that it stands on, of nine groups: the curve over the same lifts
// as far as the flow needs it, with its onset; the opening; forty speeds; the whole study with its bands; a
// comparison with its band. "beyond_ms" is what the forty speeds with their opening take more than the lift
// curve of the same run (goal: at most 2 ms), "of_curve" the time as a multiple of that curve.
#include <benchmark/benchmark.h>

#include "planner/damping/damping_study.h"
#include "planner/mechanics/lift_model.h"
#include "planner/stack/stack_text.h"

#include <algorithm>
#include <cmath>
#include <ctime>
#include <functional>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;

namespace {

constexpr int points = 24;
constexpr double reach_mm = 0.28; // no disc of this stack warps up to there
constexpr int speed_count = 40;

StackSpec nineGroups() {
    const auto mm = Length::fromMillimetres;
    return {{mm(10), mm(13), mm(20), mm(6), {}, {}},
            parseStackText("5 x 24 x 0.10, 1 x 14 x 0.10, 1 x 23 x 0.15, 1 x 21 x 0.15, 1 x 19 x 0.15, "
                           "1 x 17 x 0.15, 1 x 15 x 0.15, 1 x 13 x 0.20, 1 x 12 x 0.20")};
}

ValveFlow usualFlow() {
    ValveFlow flow;
    flow.swept_area_mm2 = flow.force_area_mm2 = 300;
    flow.port_area_mm2 = 60;
    flow.bleed_diameter_mm = 1.2;
    flow.oil = {850, 15, 3.5};
    return flow;
}

/// The speed that opens the stack by the lift of the lift curve.
double lastSpeed() {
    const ValveFlow flow = usualFlow();
    const StackOpening opening = openingOverFlow(nineGroups(), std::vector{flow}, 3.0);
    const double beneath = opening.curve->pressureAtLift(reach_mm).value();
    const Opening open = opening.curve->at(beneath);
    return valveFlows(flow, oilAt(flow.oil, flow.temperature_c), 10, beneath, open.gap_mm).total() / 1000 /
           300;
}

std::vector<double> fortySpeeds() {
    static const double last = lastSpeed();
    std::vector<double> speeds;
    for (int i = 1; i <= speed_count; ++i) speeds.push_back(last * i / speed_count);
    return speeds;
}

void liftCurve() {
    const StackSpec stack = nineGroups();
    const GroupedStack grouped = groupStack(stack);
    const LiftModel model(stack.valve(), grouped.shapes);
    LiftWorkspace workspace = model.makeWorkspace();
    std::vector<double> lifts{1e-4 * reach_mm};
    for (int i = 1; i <= points; ++i)
        lifts.push_back(reach_mm * std::pow(static_cast<double>(i) / points, 1.5));
    std::vector<StackState> states;
    benchmark::DoNotOptimize(
        model.statesAtLifts(grouped.sums, lifts, Regime::large, workspace, states).converged);
    benchmark::DoNotOptimize(findWarpOnset(stack, grouped, model, workspace, states).converged);
}

void fortyForces() {
    const ValveFlow flow = usualFlow();
    const std::vector<double> speeds = fortySpeeds();
    const StackOpening opening = openingOverFlow(nineGroups(), std::vector{flow}, speeds.back());
    benchmark::DoNotOptimize(DampingValve(flow, *opening.curve).atSpeeds(speeds).size());
}

void fortyForcesAlone() {
    static const StackOpening opening =
        openingOverFlow(nineGroups(), std::vector{usualFlow()}, fortySpeeds().back());
    static const std::vector<double> speeds = fortySpeeds();
    benchmark::DoNotOptimize(DampingValve(usualFlow(), *opening.curve).atSpeeds(speeds).size());
}

void study() {
    benchmark::DoNotOptimize(studyDamping({nineGroups(), usualFlow()}, fortySpeeds()).points.size());
}

void comparison() {
    static const DampedStack damped{nineGroups(), usualFlow()};
    static const DampingStudy studied = studyDamping(damped, fortySpeeds());
    benchmark::DoNotOptimize(compareDamping(damped, studied, damped, studied).points.size());
}

/// Of the processor, so that a busy machine blurs it little.
double seconds(const std::function<void()>& work) {
    const std::clock_t start = std::clock();
    work();
    return static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
}

void measure(benchmark::State& state, void (*work)()) {
    static_cast<void>(fortySpeeds());
    double best = 1e300, curve = 1e300;
    for (auto _ : state) {
        curve = std::min(curve, seconds(liftCurve));
        best = std::min(best, seconds(work));
    }
    state.counters["beyond_ms"] = 1000 * (best - curve);
    state.counters["of_curve"] = best / curve;
}

} // namespace

BENCHMARK_CAPTURE(measure, lift_curve_with_onset, liftCurve)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(measure, forty_speeds_from_nothing, fortyForces)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(measure, forty_speeds_of_an_opening, fortyForcesAlone)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(measure, whole_study, study)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(measure, comparison_with_band, comparison)->Unit(benchmark::kMillisecond);
