// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/disc_levers.h"
#include "planner/mechanics/lift_model.h"

#include <optional>
#include <span>
#include <vector>

namespace shimledger::planner {

/// A stack as its curve is compared, by group: what its discs add up to, and how they rub. Levers are taken
/// of nominal thicknesses: they are the same for all legs, whatever was read.
struct ComparedStack {
    std::span<const GroupSums> sums;
    std::span<const DiscLevers> levers{}; ///< empty where friction is left out
};

/// What friction between the discs adds to the pressure while it rises, as a part of it: known at some lifts,
/// and linear between them. To first order it jumps where a gap closes, which a real loop, as wide as it is,
/// rounds off.
struct AddedFriction {
    std::vector<double> lifts_mm; ///< ascending
    std::vector<double> parts;

    [[nodiscard]] double at(double lift_mm) const; ///< constant outside
};

/// At these lifts (ascending, > 0, mm). None where the stack has no curve there, or its edge sinks as the
/// pressure rises.
[[nodiscard]] std::optional<AddedFriction> addedFriction(const LiftModel& model, const ComparedStack& stack,
                                                         std::span<const double> lifts_mm, Regime regime,
                                                         double coefficient, LiftWorkspace& workspace);

} // namespace shimledger::planner
