// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "planner/mechanics/lift_model.h"
#include "planner/stack/stack_text.h"
#include "tests/planner/sensible_stacks.h"
#include "tests/sanitized.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;
using test::mm;
using test::RandomStacks;

namespace {

const std::vector<double> lifts_mm{0.02, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3};

} // namespace

// Gaps that close one after another, disc by disc, as the lift grows: of the hundred thousand stacks below
// these take the most linear solves (416 to 161 for the one curve; ten is usual).
TEST_CASE("the hardest of a hundred thousand random stacks converge in both regimes, in bounded time",
          "[lift]") {
    struct Hard {
        const char* discs;
        double clamp_od_mm, port_outer_diameter_mm;
    };
    const std::vector<Hard> hardest{
        {"4 x 30 x 0.05, 2 x 16 x 0.10, 2 x 26 x 0.05, 2 x 28 x 0.30, 4 x 27 x 0.20, 2 x 28 x 0.20, 1 x 21 x "
         "0.25, 2 x 21 x 0.20, 3 x 29 x 0.25, 2 x 15 x 0.30, 1 x 26 x 0.10, 4 x 22 x 0.25",
         13, 29}, // 416, small deflection
        {"2 x 34 x 0.20, 1 x 10 x 0.10, 3 x 33 x 0.20, 3 x 27 x 0.30, 4 x 30 x 0.15, 3 x 33 x 0.05, 4 x 23 x "
         "0.10",
         9, 32}, // 345, small deflection
        {"3 x 36 x 0.25, 4 x 24 x 0.20, 2 x 26 x 0.30, 2 x 15 x 0.20, 3 x 29 x 0.15, 4 x 29 x 0.15, 1 x 13 x "
         "0.10, 3 x 26 x 0.15, 2 x 32 x 0.05, 1 x 36 x 0.05, 1 x 12 x 0.20",
         12, 33}, // 267, small deflection
        {"1 x 28 x 0.05, 1 x 16 x 0.25, 2 x 26 x 0.30, 2 x 25 x 0.30, 3 x 24 x 0.20", 11,
         27}, // 261, large deflection
        {"3 x 34 x 0.05, 1 x 16 x 0.05, 2 x 16 x 0.10, 2 x 32 x 0.30, 1 x 33 x 0.20, 1 x 17 x 0.15, 2 x 18 x "
         "0.05, 1 x 20 x 0.15, 2 x 28 x 0.15, 4 x 15 x 0.15, 4 x 25 x 0.25, 4 x 17 x 0.05",
         15, 31}, // 248, small deflection
        {"3 x 30 x 0.25, 2 x 9 x 0.05, 1 x 29 x 0.30, 2 x 21 x 0.30, 3 x 21 x 0.30, 1 x 8 x 0.20, 1 x 11 x "
         "0.25, 2 x 17 x 0.20, 1 x 16 x 0.25",
         8, 29}, // 205, large deflection
        {"3 x 30 x 0.05, 2 x 11 x 0.05, 3 x 25 x 0.10, 1 x 20 x 0.30, 2 x 24 x 0.25, 1 x 15 x 0.05, 1 x 24 x "
         "0.20, 2 x 13 x 0.10, 3 x 13 x 0.15, 4 x 22 x 0.25",
         10, 27}, // 174, large deflection
        {"1 x 19 x 0.10, 1 x 12 x 0.15, 1 x 17 x 0.05, 4 x 17 x 0.25, 2 x 19 x 0.25, 3 x 11 x 0.30, 3 x 12 x "
         "0.20, 2 x 11 x 0.30, 2 x 9 x 0.25, 3 x 16 x 0.10, 4 x 11 x 0.10, 4 x 11 x 0.15",
         9, 16}, // 161, large deflection
    };
    for (const Hard& hard : hardest) {
        const ValveGeometry valve{
            mm(hard.clamp_od_mm), mm(hard.clamp_od_mm + 1), mm(hard.port_outer_diameter_mm), mm(6), {}, {}};
        const GroupedStack grouped = groupStack(StackSpec(valve, parseStackText(hard.discs)));
        const LiftModel model(valve, grouped.shapes);
        for (const Regime regime : {Regime::small, Regime::large}) {
            INFO(hard.discs << (regime == Regime::small ? ", small" : ", large"));
            LiftWorkspace workspace = model.makeWorkspace();
            std::vector<double> result(lifts_mm.size());
            const SolveReport report =
                model.pressuresAtLifts(grouped.sums, lifts_mm, regime, workspace, result);
            REQUIRE(report.converged);
            CHECK(result.front() > 0);
            CHECK(std::is_sorted(result.begin(), result.end()));
            CHECK(report.newton_steps < 800);
        }
    }
}

namespace {

void randomStacksConverge(int count) {
    RandomStacks random(17);
    int unsolved = 0, most_steps = 0;
    std::string slowest;
    for (int i = 0; i < count; ++i) {
        const ValveGeometry valve = random.valve();
        const StackSpec stack(valve, random.rows(valve, random.between(1, 14)));
        const GroupedStack grouped = groupStack(stack);
        const LiftModel model(valve, grouped.shapes);
        LiftWorkspace workspace = model.makeWorkspace();
        std::vector<double> result(lifts_mm.size());
        for (const Regime regime : {Regime::small, Regime::large}) {
            const SolveReport report =
                model.pressuresAtLifts(grouped.sums, lifts_mm, regime, workspace, result);
            INFO(i << ": " << stackText(stack.rows()) << "\n" << report.reason);
            unsolved += report.converged ? 0 : 1;
            REQUIRE(report.converged == report.reason.empty());
            for (std::size_t k = 0; k < result.size(); ++k) {
                REQUIRE(std::isfinite(result[k]));
                if (report.converged) REQUIRE(result[k] > (k == 0 ? 0 : result[k - 1]));
            }
            if (report.newton_steps > most_steps) {
                most_steps = report.newton_steps;
                slowest = stackText(stack.rows()) + "\nclamp " + valve.clamp_od.text() + ", ports " +
                          valve.port_inner_diameter.text() + " to " + valve.port_outer_diameter.text();
            }
        }
    }
    WARN(unsolved << " of " << 2 * count
                  << " solves ended with a reason; most linear solves of one curve: " << most_steps << "\n"
                  << slowest);
    CHECK(unsolved == 0);
    CHECK(most_steps < 2'000);
}

} // namespace

// Minutes: run by name, see DEVELOPERS.md.
TEST_CASE("a hundred thousand random stacks converge in both regimes or say why not, in bounded time",
          "[.long]") {
    randomStacksConverge(100'000);
}
TEST_CASE("a thousand random stacks converge in both regimes or say why not, in bounded time", "[lift]") {
    randomStacksConverge(test::rounds(1'000));
}
