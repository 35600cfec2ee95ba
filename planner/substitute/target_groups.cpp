// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/target_groups.h"

#include <algorithm>

namespace shimledger::planner {

std::vector<TargetGroup> targetGroups(const StackSpec& target) {
    const GroupedStack grouped = groupStack(target);
    std::vector<TargetGroup> groups(grouped.shapes.size());
    for (std::size_t row = 0; row < target.rows().size(); ++row) {
        const DiscRow& discs = target.rows()[row];
        TargetGroup& group = groups[static_cast<std::size_t>(grouped.group_of_row[row])];
        if (group.row_count == 0) group.first_row = static_cast<int>(row);
        ++group.row_count;
        group.od = discs.od;
        group.ring = isRing(target.valve(), discs);
        group.id = group.ring ? *discs.ring_id : target.valve().shim_id;
        group.under_clamp = !group.ring && discs.od <= target.valve().clamp_od;
        group.thickness += discs.count * discs.thickness;
        group.discs += discs.count;
        group.elastic_modulus_mpa = discs.material.elastic_modulus_mpa;
        group.bending_n_mm +=
            sumsOf(discs.count, discs.thickness.millimetres(), discs.material.elastic_modulus_mpa)
                .bending_n_mm;
    }
    for (std::size_t g = 1; g + 1 < groups.size(); ++g) {
        groups[g].crossover =
            !groups[g].ring && groups[g].od < groups[g - 1].od && groups[g].od < groups[g + 1].od;
    }
    return groups;
}

namespace {

bool holdsAnyOf(const TargetGroup& group, const std::vector<int>& rows) {
    return std::any_of(rows.begin(), rows.end(), [&](int row) {
        return row > group.first_row && row <= group.first_row + group.row_count;
    });
}

} // namespace

bool staysAsItIs(const SubstituteRules& rules, const TargetGroup& group) {
    return holdsAnyOf(group, rules.rows_that_stay);
}

int mostOtherGroups(const SubstituteRules& rules) {
    constexpr int all = 1000; // more than a stack has
    return rules.wanted.changesNothing() ? rules.most_other_groups_changed : all;
}

Length odReach(const SubstituteRules& rules, const TargetGroup& group) {
    if (group.ring || group.under_clamp || staysAsItIs(rules, group)) return {};
    const bool named = holdsAnyOf(group, rules.rows_that_may_move);
    const bool by_step = named || (group.first_row == 0 ? !rules.face_od_fixed : !rules.keep_every_od);
    if (group.crossover)
        return named ? std::max(rules.od_step, rules.crossover_od_tolerance) : rules.crossover_od_tolerance;
    return by_step ? rules.od_step : Length();
}

} // namespace shimledger::planner
