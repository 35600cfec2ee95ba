// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/damping/opening_curve.h"
#include "planner/mechanics/warp_onset.h"
#include "planner/stack/stack_spec.h"
#include "planner/stack/valve_flow.h"

#include <optional>
#include <span>
#include <string>

namespace shimledger::planner {

/// A stack's opening, as far as a flow needs it.
struct StackOpening {
    std::optional<OpeningCurve> curve; ///< none where the stack cannot be followed at all
    std::optional<WarpOnset> onset;    ///< none where the flow does not reach it
    bool complete = false; ///< false: the curve ends before the flow is reached, `reason` says why
    std::string reason;
    std::string caution; ///< a sentence where warping lies outside what the method was checked for
};

/// The lift engine's answer to one pressure beneath the face disc after another, until every one of `flows`
/// passes `speed_m_s` (above 0). Gap: the face disc's deflection at the port's outer radius, from rest; in
/// the large regime, past the onset of warping from the warped branch, its mean over the angle. With a seat
/// that is raised the gap is between disc and seat, at the seat's radius. At most 5 mm of lift.
[[nodiscard]] StackOpening openingOverFlow(const StackSpec& stack, std::span<const ValveFlow> flows,
                                           double speed_m_s);

} // namespace shimledger::planner
