// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "planner/mechanics/lift_model.h"
#include "planner/stack/stack_text.h"
#include "planner/units/input_error.h"
#include "tests/planner/random_stacks.h"
#include "tests/planner/sensible_stacks.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <random>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;

namespace {

using test::mm;

/// Valves whose ports lie near the clamp, thin faces on thick tapers, crossovers: what a grid finds hardest.
std::optional<StackSpec> narrowPort(std::mt19937& random) {
    const auto pick = [&](int low, int high) {
        return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
    };
    constexpr double thicknesses[] = {0.10, 0.15, 0.20, 0.25, 0.30};
    const auto thickness = [&] { return mm(thicknesses[pick(0, 4)]); };
    const int clamp = pick(8, 18), face = clamp + pick(8, 18);
    const int port_in = clamp + pick(1, 3);
    const double port_out = std::max(port_in + 1.5, clamp + (face - clamp) * pick(37, 85) / 100.0);
    std::vector<DiscRow> rows{{pick(1, 7), mm(face), pick(0, 1) == 0 ? mm(0.10) : thickness(), {}, {}}};
    double od = face;
    if (pick(0, 2) == 0) {
        rows.push_back({1, mm(clamp + pick(1, 3)), mm(0.05 * pick(1, 3)), {}, {}});
        od -= 0.5 * pick(0, 2);
        rows.push_back({pick(1, 2), mm(od), thickness(), {}, {}});
    }
    for (od -= 0.5 * pick(1, 6); od > clamp; od -= 0.5 * pick(1, 6))
        rows.push_back({pick(1, 2), mm(od), thickness(), {}, {}});
    rows.push_back({1, mm(clamp), mm(0.30), {}, {}});
    try {
        return StackSpec({mm(clamp), mm(port_in), mm(std::round(port_out * 2) / 2), mm(clamp - 3), {}, {}},
                         rows);
    } catch (const InputError&) {
        return std::nullopt; // the port does not fit
    }
}

/// Largest error of the lift, as a part of it, at the pressures of some lifts on a far finer grid; none where
/// the valve does not open that far.
std::optional<double> liftError(const StackSpec& stack) {
    constexpr GridOptions finest{0.1, 2, 10, 0.025, 0.1};
    const GroupedStack grouped = groupStack(stack);
    const std::vector<double> lifts_mm{0.03, 0.08, 0.15, 0.22, 0.30};
    std::vector<double> pressures(lifts_mm.size()), found(lifts_mm.size());
    const LiftModel fine(stack.valve(), grouped.shapes, finest),
        usual(stack.valve(), grouped.shapes, GridOptions::portGrid());
    LiftWorkspace room = fine.makeWorkspace(), usual_room = usual.makeWorkspace();
    if (!fine.pressuresAtLifts(grouped.sums, lifts_mm, Regime::large, room, pressures).converged) return {};
    REQUIRE(usual.liftsAtPressures(grouped.sums, pressures, Regime::large, usual_room, found).converged);
    double error = 0;
    for (std::size_t i = 0; i < found.size(); ++i)
        error = std::max(error, std::abs(found[i] / lifts_mm[i] - 1));
    return error;
}

/// A third each of tapers and crossovers, of any order of diameters, and of narrow ports.
std::vector<double> errorsOfRandomStacks(int count) {
    std::mt19937 random(19);
    test::RandomStacks sensible(19);
    std::vector<double> errors;
    for (int i = 0; i < count; ++i) {
        std::optional<StackSpec> stack;
        if (i % 3 == 0) stack = test::randomStack(random, {.gaps = i % 2 == 0, .seat = false});
        if (i % 3 == 1) {
            const ValveGeometry valve = sensible.valve();
            stack = StackSpec(valve, sensible.rows(valve));
        }
        while (!stack) stack = narrowPort(random);
        INFO(i << ":\n" << stackText(stack->rows()));
        const std::optional<double> error = liftError(*stack);
        if (!error) continue;
        CHECK(*error < 0.01);
        errors.push_back(*error);
    }
    std::sort(errors.begin(), errors.end());
    return errors;
}

} // namespace

TEST_CASE("the default grid tells lifts within 1 % of the limit, and nearly all within half of that",
          "[lift]") {
    const std::vector<double> errors = errorsOfRandomStacks(24);
    REQUIRE(errors.size() > 20);
    CHECK(errors[errors.size() * 9 / 10] < 0.005);
}

TEST_CASE("the default grid on a thousand random stacks", "[.long]") {
    const std::vector<double> errors = errorsOfRandomStacks(1000);
    REQUIRE(errors.size() > 950);
    WARN("lift: half are within " << 100 * errors[errors.size() / 2] << " %, 99 of 100 within "
                                  << 100 * errors[errors.size() * 99 / 100] << " %, all within "
                                  << 100 * errors.back() << " %");
    CHECK(errors[errors.size() * 99 / 100] < 0.005);
}

TEST_CASE("a disc that ends just past the clamp and a gap that closes behind a crossover are told as closely",
          "[lift]") {
    const StackSpec past_clamp(
        {mm(13), mm(14), mm(16), mm(10), {}, {}},
        parseStackText("7 x 21 x 0.10, 18 x 0.30, 17 x 0.25, 16 x 0.15, 16 x 0.20, 13 x 0.20"));
    const StackSpec crossover(
        {mm(16), mm(19), mm(23.5), mm(12), {}, {}},
        parseStackText("2 x 26 x 0.10, 19 x 0.10, 26 x 0.30, 25 x 0.30, 2 x 23.5 x 0.25, "
                       "22.5 x 0.25, 21 x 0.25, 16 x 0.30"));
    CHECK(liftError(past_clamp).value() < 0.004);
    CHECK(liftError(crossover).value() < 0.004);
}
