// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/stack_view/stack_curves.h"
#include "app/services/warp_check.h"

#include <optional>
#include <vector>

namespace shimledger::desk {

/// What is known of one stack; null: nothing (yet).
struct DrawnStack {
    const StackCurves* curves = nullptr;
    const services::WarpDrawing* warp = nullptr;

    [[nodiscard]] bool warps() const {
        return curves != nullptr && warp != nullptr && warp->onset.has_value();
    }
};

/// Pressure (MPa) at which the mean lift of the rim passes `lift_mm`: the round solution up to the onset of
/// warping and the warped one past it. None where neither was followed so far.
[[nodiscard]] std::optional<double> pressureWithWarping(const DrawnStack& stack, double lift_mm);

/// Least and greatest lift of the rim, mm.
struct RimLifts {
    double least_mm = 0;
    double greatest_mm = 0;
};
/// Only past the onset.
[[nodiscard]] std::optional<RimLifts> rimLifts(const DrawnStack& stack, double lift_mm);

/// 100 (p_substitute / p_target - 1) with the warping of both, over the lifts at which both are known.
[[nodiscard]] std::vector<DeviationPoint> deviationWithWarping(const DrawnStack& target,
                                                               const DrawnStack& substitute);

} // namespace shimledger::desk
