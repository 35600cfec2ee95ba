// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/stack/valve_flow.h"

#include <vector>

namespace shimledger::planner {

/// A tapered needle on a thread in a sharp-edged round seat, closed at click 0.
struct NeedleAdjuster {
    double seat_diameter_mm = 0;
    double cone_angle_deg = 0; ///< the full angle of the taper, above 0 and below 180
    double pitch_mm = 0;       ///< of the thread: travel of one turn
    int clicks_per_turn = 1;
    int clicks = 1; ///< from closed to wide open
};

/// Diameter of the round hole with the needle's open area when it has gone back by `travel_mm`: the narrowest
/// frustum between seat edge and cone,
///     A = pi x sin a (d - x sin a cos a),  a half the cone's angle,
/// and never more than the seat's hole. Source: geometry (the same area as of a conical poppet valve in
/// textbooks of fluid power, from memory).
[[nodiscard]] double needleBleedDiameter(const NeedleAdjuster& needle, double travel_mm);

/// Click by click, from 0.
[[nodiscard]] std::vector<AdjusterClick> needleClicks(const NeedleAdjuster& needle);

/// Bleed at a click, linear between the listed ones; the click must lie within them.
[[nodiscard]] double bleedDiameterAt(const std::vector<AdjusterClick>& clicks, int click);

} // namespace shimledger::planner
