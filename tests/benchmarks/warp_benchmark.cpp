// What warping costs: the round curve, the search for its onset, and the ten-point warped curve, of one lone
// disc and of nine groups. "of_round" is the time as a multiple of the round curve of the same stack in the
// same run.
#include <benchmark/benchmark.h>

#include "planner/mechanics/lift_model.h"
#include "planner/mechanics/warp_branch.h"
#include "planner/stack/stack_text.h"

#include <chrono>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;

namespace {

using Clock = std::chrono::steady_clock;

StackSpec stackOf(const char* text) {
    const auto mm = Length::fromMillimetres;
    return {{mm(10), mm(13), mm(20), mm(6), {}, {}}, parseStackText(text)};
}

const char* const lone = "24 x 0.15";
const char* const nine = "5 x 24 x 0.10, 1 x 14 x 0.10, 1 x 23 x 0.15, 1 x 21 x 0.15, 1 x 19 x 0.15, "
                         "1 x 17 x 0.15, 1 x 15 x 0.15, 1 x 13 x 0.20, 1 x 12 x 0.20";
constexpr double lift_mm = 0.45;
constexpr int points = 10;

/// The whole of what a caller pays for a round curve: model, workspace and ten points.
bool roundCurve(const StackSpec& stack) {
    const GroupedStack grouped = groupStack(stack);
    const LiftModel model(stack.valve(), grouped.shapes);
    LiftWorkspace workspace = model.makeWorkspace();
    std::vector<double> lifts, pressures(points);
    for (int i = 1; i <= points; ++i) lifts.push_back(lift_mm * i / points);
    const bool converged =
        model.pressuresAtLifts(grouped.sums, lifts, Regime::large, workspace, pressures).converged;
    benchmark::DoNotOptimize(pressures.data());
    return converged;
}

double secondsOfRoundCurve(const StackSpec& stack) {
    double best = 1e300;
    for (int i = 0; i < 20; ++i) {
        const auto start = Clock::now();
        if (!roundCurve(stack)) return 0;
        best = std::min(best, std::chrono::duration<double>(Clock::now() - start).count());
    }
    return best;
}

template <class Work>
void measure(benchmark::State& state, const char* text, Work work) {
    const StackSpec stack = stackOf(text);
    const double round = secondsOfRoundCurve(stack);
    double best = 1e300;
    for (auto _ : state) {
        const auto start = Clock::now();
        if (!work(stack)) state.SkipWithError("did not converge");
        best = std::min(best, std::chrono::duration<double>(Clock::now() - start).count());
    }
    state.counters["of_round"] = best / round;
}

bool onset(const StackSpec& stack) {
    const WarpOnsetResult result = findWarpOnset(stack, lift_mm);
    return result.converged && result.onset.has_value();
}

bool branch(const StackSpec& stack) {
    const WarpCurve curve = warpedCurveOverLift(stack, lift_mm, points);
    return curve.converged && curve.onset.has_value();
}

} // namespace

BENCHMARK_CAPTURE(measure, lone_round, lone, roundCurve)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(measure, lone_onset, lone, onset)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(measure, lone_branch, lone, branch)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(measure, nine_groups_round, nine, roundCurve)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(measure, nine_groups_onset, nine, onset)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(measure, nine_groups_branch, nine, branch)->Unit(benchmark::kMillisecond);
