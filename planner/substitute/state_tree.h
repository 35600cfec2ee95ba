// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/group_states.h"

#include <vector>

namespace shimledger::planner {

/// The states of one group as a binary tree: every node holds states that lie near each other in bending and
/// membrane sum, and knows the extremes of all that a search asks of them.
class StateTree {
public:
    struct Node {
        int first = 0, end = 0;            ///< states [first, end)
        int lower = -1, upper = -1;        ///< children; -1 where the node is one state
        GroupSums least, greatest;         ///< of each sum by itself, means of the legs
        GroupSums leg_least, leg_greatest; ///< the same of any leg
        Length thinnest, thickest;         ///< nominal
        int fewest_discs = 0, fewest_changed = 0;
        std::int64_t least_cost = 0;

        [[nodiscard]] int states() const { return end - first; }
    };

    StateTree() = default;
    /// Brings the states into an order in which every node's are neighbours. The same set of states gives the
    /// same tree, whatever their order was.
    explicit StateTree(std::vector<GroupState>& states);

    [[nodiscard]] bool empty() const { return m_nodes.empty(); }
    [[nodiscard]] int root() const { return 0; }
    [[nodiscard]] int nodes() const { return static_cast<int>(m_nodes.size()); } ///< children after parents
    [[nodiscard]] const Node& node(int index) const { return m_nodes[static_cast<std::size_t>(index)]; }

private:
    int grow(std::vector<GroupState>& states, int first, int end);

    std::vector<Node> m_nodes;
};

} // namespace shimledger::planner
