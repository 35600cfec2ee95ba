// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/disc_levers.h"

namespace shimledger::planner {

DiscLevers discLevers(std::span<const DiscRow> rows) {
    GroupSums whole, so_far;
    const auto add = [](GroupSums& sums, const GroupSums& part) {
        sums.bending_n_mm += part.bending_n_mm;
        sums.membrane_n_per_mm += part.membrane_n_per_mm;
    };
    for (const DiscRow& row : rows)
        add(whole, sumsOf(row.count, row.thickness.millimetres(), row.material.elastic_modulus_mpa));
    DiscLevers levers;
    for (const DiscRow& row : rows) {
        const double thickness_mm = row.thickness.millimetres();
        const GroupSums one = sumsOf(1, thickness_mm, row.material.elastic_modulus_mpa);
        for (int disc = 0; disc < row.count; ++disc) {
            if (levers.first_mm == 0) {
                levers.first_mm = thickness_mm;
            } else {
                const double lever_mm = (levers.last_mm + thickness_mm) / 2;
                const double bending = so_far.bending_n_mm / whole.bending_n_mm;
                const double membrane = so_far.membrane_n_per_mm / whole.membrane_n_per_mm;
                levers.of_load += lever_mm * (1 - bending);
                levers.of_contact += lever_mm * bending;
                levers.of_membrane += lever_mm * (bending - membrane);
            }
            add(so_far, one);
            levers.last_mm = thickness_mm;
        }
    }
    return levers;
}

std::vector<DiscLevers> discLevers(const StackSpec& stack, const GroupedStack& grouped) {
    std::vector<DiscLevers> levers;
    const std::span<const DiscRow> rows = stack.rows();
    for (std::size_t first = 0, past = 0; first < rows.size(); first = past) {
        while (past < rows.size() && grouped.group_of_row[past] == grouped.group_of_row[first]) ++past;
        levers.push_back(discLevers(rows.subspan(first, past - first)));
    }
    return levers;
}

} // namespace shimledger::planner
