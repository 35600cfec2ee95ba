// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/stack_lift.h"
#include "planner/substitute/single_steps.h"
#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <set>
#include <string>

using namespace shimledger;
using namespace shimledger::planner;
using namespace shimledger::length_literals;

namespace {

StackSpec crossoverStack() {
    return {{10_mm, 13_mm, 20_mm, 6_mm, {}, 0_mm},
            {{4, 24_mm, 0.10_mm, {}, {}},
             {1, 12_mm, 0.10_mm, {}, {}},
             {2, 22_mm, 0.15_mm, {}, {}},
             {1, 18_mm, 0.20_mm, {}, {}},
             {1, 10_mm, 0.30_mm, {}, {}}}};
}

StockItem bin(Length od, Length thickness, std::int64_t pieces) {
    return {"A1", "", od, 6_mm, thickness, {}, false, pieces, 0, 0};
}

const SingleStep& stepOf(const StepTable& table, SingleStep::Kind kind, int row) {
    const auto found = std::find_if(table.steps.begin(), table.steps.end(), [&](const SingleStep& step) {
        return step.kind == kind && step.row == row;
    });
    CAPTURE(singleStepName(kind), row);
    REQUIRE(found != table.steps.end());
    return *found;
}

/// By the one-stack door and its many points, not by the table's own way.
double pressureAt(const StackSpec& stack, double lift_mm) {
    constexpr int points = 60;
    return StackLift(stack).overLift(lift_mm, Regime::large, points).curve.points().back().pressure_mpa;
}

} // namespace

TEST_CASE("what each step does is what two curves computed apart say") {
    const StackSpec base = crossoverStack();
    const StepTable table = singleSteps({base, 2, {}, 0.30, Regime::large});
    REQUIRE(table.lifts_mm.size() == 3);
    CHECK(table.lifts_mm[0] == Approx(0.03));
    CHECK(table.lifts_mm[1] == Approx(0.15));
    CHECK(table.lifts_mm[2] == Approx(0.30));
    CHECK(table.steps.size() > 20);
    for (const SingleStep& step : table.steps) {
        CAPTURE(step.words);
        REQUIRE(step.solved);
        CHECK_FALSE(step.stack == base);
        for (std::size_t i = 0; i < table.lifts_mm.size(); ++i) {
            const double lift = table.lifts_mm[i];
            CHECK(step.changes[i] ==
                  Approx(pressureAt(step.stack, lift) / pressureAt(base, lift) - 1).margin(2e-4));
        }
    }
}

TEST_CASE("the steps are those that a tuner would name, each one change of the stack") {
    const StackSpec base = crossoverStack();
    const StepTable table = singleSteps({base, 2, {}, 0.30, Regime::large});
    using Kind = SingleStep::Kind;
    const SingleStep& more = stepOf(table, Kind::one_more, 1);
    CHECK(more.words == "one more 24.0 x 0.10");
    CHECK(more.stack.rows().front().count == 5);
    CHECK(more.changes.front() > 0.1); // of four face discs a fifth, in front of a gap
    const SingleStep& fewer = stepOf(table, Kind::one_fewer, 4);
    CHECK(fewer.stack.rows().size() == 4);
    CHECK(fewer.changes.back() < 0);
    // A wider gap lets the second stage join later: the same at first, softer when it would have joined.
    const SingleStep& gap = stepOf(table, Kind::gap_more, 2);
    CHECK(gap.words == "gap 0.05 mm wider: one 12.0 x 0.10 becomes 0.15");
    CHECK(gap.stack.rows()[1].thickness == 0.15_mm);
    CHECK(gap.changes.back() < -0.01);
    CHECK(stepOf(table, Kind::gap_less, 2).changes.back() > 0.01);
    const SingleStep& clamp = stepOf(table, Kind::clamp_smaller, 5);
    CHECK(clamp.stack.valve().clamp_od == 9_mm);
    CHECK(clamp.stack.rows().back().od == 9_mm);
    CHECK(clamp.changes.front() < 0);
    CHECK(stepOf(table, Kind::clamp_larger, 5).changes.front() > 0);
    CHECK_FALSE(table.drawers_known);
    const auto many = std::count_if(table.steps.begin(), table.steps.end(), [](const SingleStep& step) {
        return step.row == 5 && (step.kind == Kind::smaller || step.kind == Kind::larger);
    });
    CHECK(many == 0); // what is as wide as the clamp moves with it
}

TEST_CASE("with drawers the sizes are theirs, and what a step needs is counted for all legs") {
    const StackSpec base = crossoverStack();
    std::vector<StockItem> stock{bin(24_mm, 0.10_mm, 1), bin(24_mm, 0.12_mm, 8), bin(24_mm, 0.08_mm, 7),
                                 bin(22_mm, 0.20_mm, 9), bin(17_mm, 0.20_mm, 2), bin(15_mm, 0.20_mm, 2)};
    const StepTable table = singleSteps({base, 2, stock, 0.30, Regime::large});
    using Kind = SingleStep::Kind;
    CHECK(table.drawers_known);
    const SingleStep& more = stepOf(table, Kind::one_more, 1);
    CHECK((more.needed == 2 && more.available == 1));
    CHECK(stepOf(table, Kind::one_fewer, 1).needed == 0);
    const SingleStep& thicker = stepOf(table, Kind::thicker, 1);
    CHECK(thicker.stack.rows().front().thickness == 0.12_mm);
    CHECK((thicker.needed == 8 && thicker.available == 8));
    const SingleStep& thinner = stepOf(table, Kind::thinner, 1);
    CHECK(thinner.words == "4 x 24.0 x 0.08 instead of 0.10");
    CHECK((thinner.needed == 8 && thinner.available == 7));
    const SingleStep& smaller = stepOf(table, Kind::smaller, 4);
    CHECK(smaller.stack.rows()[3].od == 17_mm);
    CHECK((smaller.needed == 2 && smaller.available == 2));
    for (const SingleStep& step : table.steps) CHECK(step.words.find("15.0") == std::string::npos); // too far
    std::set<std::string> words;
    for (const SingleStep& step : table.steps)
        CHECK(words.insert(step.words + singleStepName(step.kind)).second);
}

TEST_CASE("steps that leave no stack that can exist are not told") {
    const StackSpec one({10_mm, 13_mm, 20_mm, 6_mm, {}, 0_mm}, {{1, 21_mm, 0.15_mm, {}, {}}});
    const StepTable table = singleSteps({one, 1, {}, 0.30, Regime::large});
    for (const SingleStep& step : table.steps) {
        CHECK(step.kind != SingleStep::Kind::one_fewer);
        CHECK(step.stack.rows().front().od >= 20_mm); // still covers the ports
        CHECK(step.row == (step.stack.valve().clamp_od == 10_mm ? 1 : 0));
    }
    const StepTable held = singleSteps(
        {one, 2, std::vector<StockItem>{bin(9_mm, 0.20_mm, 1), bin(9_mm, 0.30_mm, 4)}, 0.30, Regime::large});
    const SingleStep& smaller = stepOf(held, SingleStep::Kind::clamp_smaller, 0);
    CHECK((smaller.needed == 2 && smaller.available == 2));
    const SingleStep& larger = stepOf(held, SingleStep::Kind::clamp_larger, 0);
    CHECK((larger.needed == 2 && larger.available == 0));
}
