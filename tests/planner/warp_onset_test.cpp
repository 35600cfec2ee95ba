// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "planner/mechanics/warp_onset.h"
#include "planner/stack/stack_text.h"
#include "tests/planner/random_stacks.h"
#include "tests/planner/slow_warp_onset.h"
#include "tests/sanitized.h"

#include <algorithm>
#include <random>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;

namespace {

constexpr double last_mm = 0.7;

/// True where the search found what looks so far apart find, within half a per cent and one look.
bool agrees(const WarpOnsetResult& found, const test::SlowWarpOnset& slow, double look_mm) {
    const double margin = 0.005 * last_mm;
    if (!found.onset && !slow.liftMm()) return true;
    // Within the margin of the end either may be right.
    if (!slow.liftMm()) return found.onset->lift_mm > slow.lookedToMm() - margin;
    if (!found.onset) return *slow.liftMm() > last_mm - margin - look_mm;
    return found.onset->lift_mm > 0.995 * (*slow.liftMm() - look_mm) &&
           found.onset->lift_mm < 1.005 * *slow.liftMm();
}

/// Random stacks against close looks with in-plane fields; says how many of them warped.
int compareWithSlowLooks(unsigned seed, int stacks) {
    constexpr double look_mm = 0.01, closer_mm = 0.001;
    std::mt19937 random(seed);
    int warped = 0;
    for (int i = 0; i < stacks; ++i) {
        const StackSpec stack = test::randomStack(random, {.gaps = i % 2 == 0, .seat = i % 5 == 0});
        INFO(i << ": " << stackText(stack.rows(), ", "));
        const WarpOnsetResult found = findWarpOnset(stack, last_mm);
        warped += found.onset ? 1 : 0;
        if (agrees(found, test::SlowWarpOnset(stack, last_mm, look_mm), look_mm)) continue;
        // Discs that warp for less than a look before a gap closes need closer ones.
        const test::SlowWarpOnset close(stack, last_mm, closer_mm);
        INFO("found " << (found.onset ? found.onset->lift_mm : 0) << ", close looks "
                      << close.liftMm().value_or(0));
        CHECK(agrees(found, close, closer_mm));
    }
    return warped;
}

} // namespace

TEST_CASE(
    "the onset of random stacks is where close looks with in-plane displacements first lose a disturbance",
    "[warp]") {
    CHECK(compareWithSlowLooks(20261126, test::rounds(30)) >= test::rounds(10));
}

TEST_CASE("the onset of two thousand random stacks is where close looks find it", "[.long]") {
    CHECK(compareWithSlowLooks(7, 2000) > 1000);
}

TEST_CASE("a curve that is at hand gives the onset that the search alone finds", "[warp]") {
    std::mt19937 random(3);
    for (int i = 0; i < test::rounds(40); ++i) {
        const StackSpec stack = test::randomStack(random, {.gaps = i % 2 == 0, .seat = i % 5 == 0});
        INFO(stackText(stack.rows(), ", "));
        const GroupedStack grouped = groupStack(stack);
        const LiftModel model(stack.valve(), grouped.shapes);
        LiftWorkspace workspace = model.makeWorkspace();
        std::vector<StackState> states;
        const std::vector<double> lifts{0.05, 0.2, 0.3, 0.55, 0.6}; // wide steps: more looks between them
        if (!model.statesAtLifts(grouped.sums, lifts, Regime::large, workspace, states).converged) continue;
        const WarpOnsetResult along = findWarpOnset(stack, grouped, model, workspace, states);
        const WarpOnsetResult alone = findWarpOnset(stack, lifts.back());
        CHECK(along.converged);
        REQUIRE(along.onset.has_value() == alone.onset.has_value());
        if (!along.onset) continue;
        CHECK(along.onset->lift_mm == Approx(alone.onset->lift_mm).margin(0.0015));
        CHECK(along.onset->pressure_mpa == Approx(alone.onset->pressure_mpa).epsilon(0.01));
        CHECK(along.onset->row == alone.onset->row);
    }
}

TEST_CASE("a state between two others is the one that the way from rest comes to", "[lift]") {
    std::mt19937 random(5);
    for (int i = 0; i < test::rounds(40); ++i) {
        const StackSpec stack = test::randomStack(random, {.gaps = i % 2 == 0, .seat = i % 3 == 0});
        INFO(stackText(stack.rows(), ", "));
        const GroupedStack grouped = groupStack(stack);
        const LiftModel model(stack.valve(), grouped.shapes);
        LiftWorkspace workspace = model.makeWorkspace();
        std::vector<StackState> states;
        const std::vector<double> lifts{0.1, 0.2, 0.225, 0.3};
        if (!model.statesAtLifts(grouped.sums, lifts, Regime::large, workspace, states).converged) continue;
        StackState between;
        REQUIRE(
            model
                .stateBetween(grouped.sums, states[1], states[3], lifts[2], Regime::large, workspace, between)
                .converged);
        CHECK(between.lift_mm == Approx(lifts[2]));
        CHECK(between.pressure_mpa == Approx(states[2].pressure_mpa).epsilon(1e-6));
        for (std::size_t dof = 0; dof < between.deflection_mm.size(); ++dof)
            CHECK(between.deflection_mm[dof] == Approx(states[2].deflection_mm[dof]).margin(1e-6));
    }
}
