// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/lift_curve.h"
#include "planner/mechanics/lift_model.h"
#include "planner/stack/stack_text.h"
#include "tests/planner/ring_requests.h"
#include "tests/sanitized.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;
using namespace shimledger::planner::test;

namespace {

struct Curve {
    std::vector<double> lifts_mm = comparisonLifts(0.30),
                        pressures_mpa = std::vector<double>(lifts_mm.size());
    SolveReport report;
};

Curve curveOf(const GroupedStack& grouped, const LiftModel& model, LiftWorkspace& workspace, Regime regime) {
    Curve curve;
    curve.report =
        model.pressuresAtLifts(grouped.sums, curve.lifts_mm, regime, workspace, curve.pressures_mpa);
    return curve;
}

Curve curveOf(const StackSpec& stack, Regime regime, const GridOptions& grid = {}) {
    const GroupedStack grouped = groupStack(stack);
    const LiftModel model(stack.valve(), grouped.shapes, grid);
    LiftWorkspace workspace = model.makeWorkspace();
    return curveOf(grouped, model, workspace, regime);
}

/// One to three discs of one or two sizes in each group, and rings of any thickness: loose or tight.
StackSpec roughlyLike(const std::vector<DiscRow>& pattern, std::mt19937& random) {
    const std::vector<int> thicknesses{80, 100, 120, 150, 200, 250};
    std::vector<DiscRow> rows;
    for (DiscRow row : pattern) {
        for (std::size_t sizes = 1 + random() % 2; sizes > 0; --sizes) {
            row.count = 1 + static_cast<int>(random() % 3);
            row.thickness = Length::fromMicrometres(row.ring_id ? 30 + 10 * static_cast<int>(random() % 25)
                                                                : thicknesses[random() % thicknesses.size()]);
            rows.push_back(row);
        }
    }
    return ringStack(rows);
}

} // namespace

TEST_CASE("a ring that just fills its room bears from the very first lift on", "[lift][ring]") {
    // Plates that only bend, and no gap anywhere: lift is in proportion to pressure, whatever the order of
    // rows.
    const bool fine = GENERATE(false, true);
    for (const char* text : {"2 x 24 x 0.15, 14 x 0.25, 22 x 0.25 ring 19, 2 x 22 x 0.08, 12 x 0.10",
                             "2 x 24 x 0.15, 22 x 0.25 ring 19, 14 x 0.25, 2 x 22 x 0.08, 12 x 0.10"}) {
        INFO(text);
        const Curve curve = curveOf(ringStack(parseStackText(text)), Regime::small,
                                    fine ? GridOptions::fineGrid() : GridOptions());
        REQUIRE(curve.report.converged);
        const double slope = curve.pressures_mpa.back() / curve.lifts_mm.back();
        for (std::size_t i = 0; i < curve.lifts_mm.size(); ++i)
            CHECK(curve.pressures_mpa[i] / curve.lifts_mm[i] == Approx(slope).epsilon(1e-6));
    }
}

TEST_CASE("stacks with loose and with tight rings have a curve on either grid, or an edge that sinks first",
          "[lift][ring]") {
    std::mt19937 random(1926); // fixed seed: the same stacks every time
    int solved = 0, sinks = 0;
    const int stacks = rounds(300);
    for (int round = 0; round < stacks; ++round) {
        const StackSpec stack = roughlyLike(ringRows(random), random);
        const Regime regime = round % 4 == 0 ? Regime::small : Regime::large;
        CAPTURE(round, stackText(stack.rows()));
        const Curve curve = curveOf(stack, regime, round % 10 == 0 ? GridOptions::fineGrid() : GridOptions());
        if (curve.report.converged) {
            ++solved;
            CHECK(curve.pressures_mpa.front() > 0);
            continue;
        }
        ++sinks;
        CHECK(curve.report.reason.find("edge does not rise") != std::string::npos);
    }
    CHECK(solved > stacks * 95 / 100);
}

TEST_CASE("the least lift of a stack bent by its ring does not depend on the stack solved before it",
          "[lift][ring]") {
    std::mt19937 random(77); // fixed seed: the same stacks every time
    int bent = 0;
    for (int round = 0; round < rounds(60); ++round) {
        const StackSpec stack = ringStack(ringRows(random));
        GroupedStack grouped = groupStack(stack);
        const LiftModel model(stack.valve(), grouped.shapes);
        LiftWorkspace used = model.makeWorkspace(), fresh = model.makeWorkspace();
        GroupedStack before = grouped;
        for (GroupSums& sums : before.sums) sums.bending_n_mm *= 1.3;
        before.sums.front().thickness_mm *= 1.1;
        (void)curveOf(before, model, used, Regime::large);
        const Curve after = curveOf(grouped, model, used, Regime::large);
        const Curve first = curveOf(grouped, model, fresh, Regime::large);
        REQUIRE(after.report.converged == first.report.converged);
        if (!first.report.converged) continue;
        ++bent;
        CAPTURE(round, stackText(stack.rows()));
        CHECK(after.pressures_mpa.front() == Approx(first.pressures_mpa.front()).epsilon(2e-6));
    }
    CHECK(bent >= rounds(55));
}
