// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/stack/needle_adjuster.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace shimledger::planner {

double needleBleedDiameter(const NeedleAdjuster& needle, double travel_mm) {
    const double half_angle = needle.cone_angle_deg * std::numbers::pi / 360;
    const double sine = std::sin(half_angle);
    const double seat = needle.seat_diameter_mm;
    // Where the frustum would be as large as the hole, the hole is what is narrow; past that the formula
    // falls again and means nothing.
    const double widest = seat / (2 * sine * std::cos(half_angle));
    const double travel = std::clamp(travel_mm, 0.0, widest);
    const double frustum_by_pi = travel * sine * (seat - travel * sine * std::cos(half_angle));
    return std::min(seat, 2 * std::sqrt(std::max(0.0, frustum_by_pi)));
}

std::vector<AdjusterClick> needleClicks(const NeedleAdjuster& needle) {
    std::vector<AdjusterClick> clicks;
    for (int click = 0; click <= needle.clicks; ++click) {
        const double travel = needle.pitch_mm * click / needle.clicks_per_turn;
        clicks.push_back({click, needleBleedDiameter(needle, travel)});
    }
    return clicks;
}

double bleedDiameterAt(const std::vector<AdjusterClick>& clicks, int click) {
    if (clicks.empty() || click < clicks.front().click || click > clicks.back().click)
        throw std::logic_error("the adjuster has no such click");
    const auto upper = std::find_if(clicks.begin(), clicks.end(),
                                    [&](const AdjusterClick& listed) { return listed.click >= click; });
    if (upper->click == click) return upper->bleed_diameter_mm;
    const AdjusterClick& lower = *(upper - 1);
    const double part = static_cast<double>(click - lower.click) / (upper->click - lower.click);
    return lower.bleed_diameter_mm + part * (upper->bleed_diameter_mm - lower.bleed_diameter_mm);
}

} // namespace shimledger::planner
