// SPDX-License-Identifier: GPL-3.0-or-later
// What warping costs: the round curve, the same with its onset, the onset without a curve at hand, and the
// ten-point warped curve, of one lone disc and of nine groups, up to a lift past the onset ("late") and to
// one before it ("early"). "of_round" is the time as a multiple of the round curve of the same stack in the
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
constexpr double late_mm = 0.45;
constexpr double early_mm = 0.28; // nearest to it: no state is held by far
constexpr int points = 10;

enum class Onset { leave, find };

/// The whole of what a caller pays for a round curve: model, workspace and ten points; and for the onset
/// after it.
bool roundCurve(const StackSpec& stack, double lift_mm, Onset wanted) {
    const GroupedStack grouped = groupStack(stack);
    const LiftModel model(stack.valve(), grouped.shapes);
    LiftWorkspace workspace = model.makeWorkspace();
    std::vector<double> lifts;
    for (int i = 1; i <= points; ++i) lifts.push_back(lift_mm * i / points);
    std::vector<StackState> states;
    if (!model.statesAtLifts(grouped.sums, lifts, Regime::large, workspace, states).converged) return false;
    if (wanted == Onset::leave) return true;
    const WarpOnsetResult result = findWarpOnset(stack, grouped, model, workspace, states);
    return result.converged && result.onset.has_value() == (lift_mm == late_mm);
}

double secondsOfRoundCurve(const StackSpec& stack, double lift_mm) {
    double best = 1e300;
    for (int i = 0; i < 50; ++i) {
        const auto start = Clock::now();
        if (!roundCurve(stack, lift_mm, Onset::leave)) return 0;
        best = std::min(best, std::chrono::duration<double>(Clock::now() - start).count());
    }
    return best;
}

template <class Work>
void measure(benchmark::State& state, const char* text, double lift_mm, Work work) {
    const StackSpec stack = stackOf(text);
    const double round = secondsOfRoundCurve(stack, lift_mm);
    double best = 1e300;
    for (auto _ : state) {
        const auto start = Clock::now();
        if (!work(stack, lift_mm)) state.SkipWithError("did not converge");
        best = std::min(best, std::chrono::duration<double>(Clock::now() - start).count());
    }
    state.counters["of_round"] = best / round;
}

bool round(const StackSpec& stack, double lift_mm) {
    return roundCurve(stack, lift_mm, Onset::leave);
}

bool roundAndOnset(const StackSpec& stack, double lift_mm) {
    return roundCurve(stack, lift_mm, Onset::find);
}

bool onsetAlone(const StackSpec& stack, double lift_mm) {
    return findWarpOnset(stack, lift_mm).converged;
}

bool branch(const StackSpec& stack, double lift_mm) {
    const WarpCurve curve = warpedCurveOverLift(stack, lift_mm, points);
    return curve.converged && curve.onset.has_value();
}

} // namespace

#define SHIMLEDGER_MEASURE(name, stack, lift, work)                                                          \
    BENCHMARK_CAPTURE(measure, name, stack, lift, work)->Unit(benchmark::kMillisecond)

SHIMLEDGER_MEASURE(lone_round, lone, late_mm, round);
SHIMLEDGER_MEASURE(lone_round_and_late_onset, lone, late_mm, roundAndOnset);
SHIMLEDGER_MEASURE(lone_round_and_no_onset, lone, early_mm, roundAndOnset);
SHIMLEDGER_MEASURE(lone_branch, lone, late_mm, branch);
SHIMLEDGER_MEASURE(nine_groups_round, nine, late_mm, round);
SHIMLEDGER_MEASURE(nine_groups_round_and_late_onset, nine, late_mm, roundAndOnset);
SHIMLEDGER_MEASURE(nine_groups_round_and_no_onset, nine, early_mm, roundAndOnset);
SHIMLEDGER_MEASURE(nine_groups_onset_alone, nine, late_mm, onsetAlone);
SHIMLEDGER_MEASURE(nine_groups_branch, nine, late_mm, branch);
