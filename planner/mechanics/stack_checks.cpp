// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/stack_checks.h"

#include "planner/stack/stack_text.h"

#include <algorithm>
#include <cmath>

namespace shimledger::planner {

namespace {

std::string twoDecimals(double value) {
    return Length::fromMicrometres(static_cast<std::int64_t>(std::llround(value * 100)) * 10).text(2);
}

std::string whole(double value) {
    return std::to_string(std::llround(value));
}

} // namespace

double warpRuleOfThumb(const StackSpec& stack) {
    const std::vector<DiscRow>& rows = stack.rows();
    Length thinnest = rows.front().thickness;
    bool backed = false;
    for (const DiscRow& row : rows) {
        const bool face = !backed && row.od == rows.front().od && !isRing(stack.valve(), row);
        if (face) {
            thinnest = std::min(thinnest, row.thickness);
        } else if (row.od > stack.valve().clamp_od) {
            backed = true;
        }
    }
    return (backed ? 2.4 : 2.0) * thinnest.millimetres();
}

std::string warpWarning(const StackSpec& stack, double lift_mm) {
    const double warp_lift = warpRuleOfThumb(stack);
    if (lift_mm <= warp_lift) return {};
    return "Beyond about " + twoDecimals(warp_lift) +
           " mm of lift the face discs may leave their round shape and open softer than this curve says "
           "(rule "
           "of thumb from their thickness).";
}

std::vector<std::string> stackWarnings(const StackSpec& stack, double lift_mm,
                                       std::span<const RowStress> stresses) {
    std::vector<std::string> warnings;
    for (std::size_t i = 0; i < stresses.size() && i < stack.rows().size(); ++i) {
        const DiscRow& row = stack.rows()[i];
        const double strength = row.material.tensile_strength_mpa;
        const double stress = stresses[i].bending_mpa + std::max(0.0, stresses[i].membrane_mpa);
        if (stress <= strength / 2) continue;
        const std::string where = "Row " + std::to_string(i + 1) + " (" + rowText(row) + ") reaches " +
                                  whole(stress) + " MPa at full lift, against " + whole(strength) +
                                  " MPa tensile strength (" + row.material.name + "): ";
        warnings.push_back(
            where + (stress > 0.9 * strength ? "it may take a lasting set." : "check it for fatigue."));
    }
    const double arm = (stack.rows().front().od - stack.valve().clamp_od).millimetres() / 2;
    if (lift_mm > 0.15 * arm) {
        warnings.push_back(
            "The lift is more than 15 % of the free width of the face disc; the theory holds for "
            "smaller slopes, so take the end of the curve with care.");
    }
    return warnings;
}

} // namespace shimledger::planner
