// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/warp_onset.h"

#include "planner/mechanics/onset_search.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>
#include <vector>

namespace shimledger::planner {

namespace {

constexpr double widest_step_mm = 0.06; // of the round states

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

/// A sentence where the disc of a row is of a form that nobody compared with finite elements, else "".
std::string outsideChecks(const StackSpec& stack, int row) {
    const DiscRow& disc = stack.rows()[at(row)];
    if (isRing(stack.valve(), disc)) {
        return "Row " + std::to_string(row + 1) +
               " is a ring that the clamp does not hold; warping was not checked for such rings.";
    }
    const double ratio = stack.valve().clamp_od.millimetres() / disc.od.millimetres();
    if (ratio >= 0.2 && ratio <= 0.65) return {};
    return "The clamp is " + std::to_string(std::lround(ratio * 100)) + " % of the OD of row " +
           std::to_string(row + 1) + ", whose discs were looked at; warping was checked for 20 to 65 % only.";
}

std::string cautionAbout(const StackSpec& stack) {
    std::string caution = outsideChecks(stack, 0);
    for (std::size_t row = 1; row < stack.rows().size() && caution.empty(); ++row) {
        if (isRing(stack.valve(), stack.rows()[row])) caution = outsideChecks(stack, static_cast<int>(row));
    }
    return caution;
}

} // namespace

WarpOnsetResult findWarpOnset(const StackSpec& stack, const GroupedStack& grouped, const LiftModel& model,
                              LiftWorkspace& workspace, std::span<const StackState> states) {
    WarpOnsetResult result;
    result.converged = true;
    result.caution = cautionAbout(stack);
    OnsetSearch search(grouped, model, workspace);
    for (const StackState& state : states) {
        if (state.lift_mm <= 0 || !search.passes(state)) continue;
        WarpOnset onset = search.narrowDown();
        const int group = search.softestGroup(onset.lobes);
        const auto row = std::find(grouped.group_of_row.begin(), grouped.group_of_row.end(), group);
        onset.row = static_cast<int>(row - grouped.group_of_row.begin());
        result.onset = onset;
        if (result.caution.empty()) result.caution = outsideChecks(stack, result.onset->row);
        break;
    }
    return result;
}

WarpOnsetResult findWarpOnset(const StackSpec& stack, double greatest_lift_mm) {
    const GroupedStack grouped = groupStack(stack);
    const LiftModel model(stack.valve(), grouped.shapes);
    LiftWorkspace workspace = model.makeWorkspace();
    std::vector<double> lifts;
    const int steps = std::max(1, static_cast<int>(std::ceil(greatest_lift_mm / widest_step_mm)));
    for (int i = 1; i <= steps; ++i) lifts.push_back(greatest_lift_mm * i / steps);
    std::vector<StackState> states;
    const SolveReport solve = model.statesAtLifts(grouped.sums, lifts, Regime::large, workspace, states);
    WarpOnsetResult result = findWarpOnset(stack, grouped, model, workspace, states);
    if (!solve.converged && !result.onset) {
        result.converged = false;
        result.reason = solve.reason;
    }
    return result;
}

} // namespace shimledger::planner
