// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/lift_model.h"
#include "planner/stack/stack_spec.h"

#include <optional>
#include <span>
#include <string>

namespace shimledger::planner {

/// Where the discs begin to leave their round shape.
struct WarpOnset {
    double pressure_mpa = 0;
    double lift_mm = 0;
    int lobes = 0; ///< number of waves round the rim, 2 to 6
    int row = 0;   ///< 0-based row of the stack whose discs warp most
};

struct WarpOnsetResult {
    std::optional<WarpOnset> onset; ///< none up to the lift asked for
    bool converged = false;         ///< false: `reason` says why nothing is known
    std::string reason;
    std::string caution; ///< a sentence where the valve lies outside what the method was checked for
};

/// The first lift, up to `greatest_lift_mm`, at which a lobed disturbance w_n(r) cos(n theta), n = 2..6, of
/// the round large-deflection state becomes neutral: the second variation of the von Karman energy (bending,
/// membrane, and the round state's forces acting on it) loses its positive definiteness, with the
/// discs held together where they press on one another. Checked for clamp to rim radius ratios of 0.2 to 0.65
/// against three-dimensional finite elements (tests/planner/warp_test.cpp).
[[nodiscard]] WarpOnsetResult findWarpOnset(const StackSpec& stack, double greatest_lift_mm);

/// The same up to the last of the states that a large-deflection curve of the stack went through, which saves
/// solving for them. `grouped` and `model` are that stack's; `states` ascend in lift. Every state is looked
/// at, and others between them where they lie far apart.
[[nodiscard]] WarpOnsetResult findWarpOnset(const StackSpec& stack, const GroupedStack& grouped,
                                            const LiftModel& model, LiftWorkspace& workspace,
                                            std::span<const StackState> states);

} // namespace shimledger::planner
