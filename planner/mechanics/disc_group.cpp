// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/disc_group.h"

#include "planner/units/input_error.h"

#include <string>

namespace shimledger::planner {

namespace {

// A hundred take two seconds, a hundred and fifty a minute, and then their contacts may not settle.
constexpr std::size_t most_groups = 100;

} // namespace

GroupSums sumsOf(int count, double thickness_mm, double elastic_modulus_mpa) {
    const double thickness = count * thickness_mm;
    return {thickness, elastic_modulus_mpa * thickness * thickness_mm * thickness_mm,
            elastic_modulus_mpa * thickness};
}

GroupedStack groupStack(const StackSpec& stack) {
    GroupedStack grouped;
    for (const DiscRow& row : stack.rows()) {
        const bool ring = isRing(stack.valve(), row);
        const Length bore = ring ? *row.ring_id : stack.valve().clamp_od;
        const GroupShape shape{row.od.millimetres() / 2, bore.millimetres() / 2, ring,
                               row.material.poisson_ratio};
        const GroupSums sums =
            sumsOf(row.count, row.thickness.millimetres(), row.material.elastic_modulus_mpa);
        // Rings of one size that lie together also share one deflection.
        if (!grouped.shapes.empty() && grouped.shapes.back() == shape) {
            GroupSums& last = grouped.sums.back();
            last.thickness_mm += sums.thickness_mm;
            last.bending_n_mm += sums.bending_n_mm;
            last.membrane_n_per_mm += sums.membrane_n_per_mm;
        } else {
            grouped.shapes.push_back(shape);
            grouped.sums.push_back(sums);
        }
        grouped.group_of_row.push_back(static_cast<int>(grouped.shapes.size()) - 1);
    }
    if (grouped.shapes.size() > most_groups) {
        throw InputError("the stack has " + std::to_string(grouped.shapes.size()) +
                         " groups of discs of one size; a curve is computed for at most " +
                         std::to_string(most_groups) + ", so give discs of one OD in one row or fewer ODs");
    }
    return grouped;
}

} // namespace shimledger::planner
