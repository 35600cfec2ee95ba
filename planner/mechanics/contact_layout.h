// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/disc_group.h"
#include "planner/mechanics/plate_tables.h"

#include <vector>

namespace shimledger::planner {

/// The common radial grid and, on it, who can touch whom.
///
/// At every node the groups that exist there form a chain from the face to the clamp; each neighbouring
/// pair of a chain may touch and may not overlap. Nothing else is needed for tapers, crossovers and odd
/// orders. Degrees of freedom (dof) are numbered group by group, nodes ascending.
struct ContactLayout {
    struct Pair {
        int lower_group = 0; ///< nearer the face
        int upper_group = 0;
        int lower_dof = 0;
        int upper_dof = 0;
        int node = 0;
    };

    std::vector<double> node_radii_mm;
    std::vector<std::vector<int>> group_nodes; ///< of each group; groups as wide as the clamp have none
    std::vector<int> node_count;               ///< of each group
    std::vector<int> first_dof;                ///< of each group, with the total behind the last
    std::vector<Pair> pairs;                   ///< node by node, each chain from the face to the clamp
    std::vector<int> chain_start; ///< index into `pairs` for each node, with the total behind the last
    int seat_dof = -1;            ///< the face group's dof at the seat, -1 without a seat
    int edge_dof = -1;            ///< the face group's outer edge: its rise is the lift

    [[nodiscard]] std::vector<double> radiiOfGroup(int group) const;
    [[nodiscard]] int dofCount() const { return first_dof.back(); }
    [[nodiscard]] int groupCount() const { return static_cast<int>(node_count.size()); }
};

/// Nodes: every edge of a group, the seat, and between them steps of at most the grid's `largest_step_mm`;
/// half as much across rings and, in a stack that has one, near the clamp. The front groups have more of them
/// around the outer radius of the port.
[[nodiscard]] ContactLayout makeContactLayout(const ValveGeometry& valve,
                                              const std::vector<GroupShape>& shapes, const GridOptions& grid);

/// Gap at rest of each pair: the summed thickness of what lies between, from the heights at which the
/// clamp holds the discs; negative where a ring is thicker than its room (preload).
void restGaps(const ContactLayout& layout, const std::vector<GroupShape>& shapes, const GroupSums* sums,
              double* heights_mm, double* gaps_mm);

} // namespace shimledger::planner
