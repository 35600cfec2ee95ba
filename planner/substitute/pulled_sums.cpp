// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/pulled_sums.h"

#include <cstddef>

namespace shimledger::planner {

namespace {

struct PulledDisc {
    double pieces = 0, thickness_mm = 0, cube_mm3 = 0; ///< sums over the pieces
};

PulledDisc pulledFor(const DiscRow& row, const std::vector<Pull>& pulls) {
    PulledDisc disc;
    for (const Pull& pull : pulls) {
        if (pull.od != row.od || pull.thickness != row.thickness || pull.quantity <= 0) continue;
        const auto pieces = static_cast<double>(pull.quantity);
        const double t = pull.measured.value_or(pull.thickness).millimetres();
        disc.pieces += pieces;
        disc.thickness_mm += pieces * t;
        disc.cube_mm3 += pieces * t * t * t;
    }
    if (disc.pieces > 0) return disc;
    const double t = row.thickness.millimetres();
    return {1, t, t * t * t};
}

} // namespace

std::vector<GroupSums> pulledSums(const StackSpec& built, const std::vector<Pull>& pulls) {
    const GroupedStack grouped = groupStack(built);
    std::vector<GroupSums> sums(grouped.sums.size());
    for (std::size_t i = 0; i < built.rows().size(); ++i) {
        const DiscRow& row = built.rows()[i];
        const PulledDisc disc = pulledFor(row, pulls);
        GroupSums& group = sums[static_cast<std::size_t>(grouped.group_of_row[i])];
        const double each = row.count / disc.pieces;
        group.thickness_mm += each * disc.thickness_mm;
        group.bending_n_mm += each * row.material.elastic_modulus_mpa * disc.cube_mm3;
        group.membrane_n_per_mm += each * row.material.elastic_modulus_mpa * disc.thickness_mm;
    }
    return sums;
}

} // namespace shimledger::planner
