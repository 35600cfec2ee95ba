#include "planner/substitute/target_groups.h"

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

Length odReach(const SubstituteRules& rules, const TargetGroup& group) {
    if (group.ring) return {};
    if (group.first_row == 0) return rules.face_od_fixed ? Length() : rules.od_step;
    if (group.crossover) return rules.crossover_od_tolerance;
    return rules.keep_every_od ? Length() : rules.od_step;
}

} // namespace shimledger::planner
