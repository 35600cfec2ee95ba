// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/loading_curve.h"

#include "planner/mechanics/disc_friction.h"

#include <algorithm>
#include <cmath>

namespace shimledger::planner {

double AddedFriction::at(double lift_mm) const {
    const auto next = static_cast<std::size_t>(std::lower_bound(lifts_mm.begin(), lifts_mm.end(), lift_mm) -
                                               lifts_mm.begin());
    if (next == 0) return parts.front();
    if (next == lifts_mm.size()) return parts.back();
    const double before_mm = lifts_mm[next - 1];
    return std::lerp(parts[next - 1], parts[next], (lift_mm - before_mm) / (lifts_mm[next] - before_mm));
}

std::optional<AddedFriction> addedFriction(const LiftModel& model, const ComparedStack& stack,
                                           std::span<const double> lifts_mm, Regime regime,
                                           double coefficient, LiftWorkspace& workspace) {
    std::vector<StackState> states;
    if (!model.statesAtLifts(stack.sums, lifts_mm, regime, workspace, states).converged) return {};
    const DiscFriction friction({stack.levers.begin(), stack.levers.end()}, stack.sums, model);
    AddedFriction added{{lifts_mm.begin(), lifts_mm.end()}, {}};
    for (const StackState& state : states) {
        if (!(state.lift_slope_mm_per_mpa > 0 && state.pressure_mpa > 0)) return {};
        added.parts.push_back(partOfPressure(friction.halfWidth(state, regime, coefficient).lift_mm,
                                             state.lift_slope_mm_per_mpa, state.pressure_mpa));
    }
    return added;
}

} // namespace shimledger::planner
