// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/state_tree.h"

#include <algorithm>
#include <tuple>

namespace shimledger::planner {

namespace {

void spread(GroupSums& least, GroupSums& greatest, const GroupSums& part_least,
            const GroupSums& part_greatest) {
    least.thickness_mm = std::min(least.thickness_mm, part_least.thickness_mm);
    least.bending_n_mm = std::min(least.bending_n_mm, part_least.bending_n_mm);
    least.membrane_n_per_mm = std::min(least.membrane_n_per_mm, part_least.membrane_n_per_mm);
    greatest.thickness_mm = std::max(greatest.thickness_mm, part_greatest.thickness_mm);
    greatest.bending_n_mm = std::max(greatest.bending_n_mm, part_greatest.bending_n_mm);
    greatest.membrane_n_per_mm = std::max(greatest.membrane_n_per_mm, part_greatest.membrane_n_per_mm);
}

void take(StateTree::Node& node, const StateTree::Node& part) {
    spread(node.least, node.greatest, part.least, part.greatest);
    spread(node.leg_least, node.leg_greatest, part.leg_least, part.leg_greatest);
    node.thinnest = std::min(node.thinnest, part.thinnest);
    node.thickest = std::max(node.thickest, part.thickest);
    node.fewest_discs = std::min(node.fewest_discs, part.fewest_discs);
    node.fewest_changed = std::min(node.fewest_changed, part.fewest_changed);
    node.least_cost = std::min(node.least_cost, part.least_cost);
}

bool softer(const GroupState& a, const GroupState& b) {
    return std::tie(a.sums.bending_n_mm, a.sums.membrane_n_per_mm, a.counts) <
           std::tie(b.sums.bending_n_mm, b.sums.membrane_n_per_mm, b.counts);
}

bool thinner(const GroupState& a, const GroupState& b) {
    return std::tie(a.sums.membrane_n_per_mm, a.sums.bending_n_mm, a.counts) <
           std::tie(b.sums.membrane_n_per_mm, b.sums.bending_n_mm, b.counts);
}

} // namespace

StateTree::StateTree(std::vector<GroupState>& states) {
    if (!states.empty()) grow(states, 0, static_cast<int>(states.size()));
}

int StateTree::grow(std::vector<GroupState>& states, int first, int end) {
    const int index = static_cast<int>(m_nodes.size());
    m_nodes.emplace_back();
    Node node;
    node.first = first;
    node.end = end;
    if (end - first == 1) {
        const GroupState& state = states[static_cast<std::size_t>(first)];
        node.least = node.greatest = state.sums;
        node.leg_least = state.legs ? state.legs->least : state.sums;
        node.leg_greatest = state.legs ? state.legs->greatest : state.sums;
        node.thinnest = node.thickest = state.thickness;
        node.fewest_discs = state.discs;
        node.fewest_changed = state.discs_changed;
        node.least_cost = state.cost;
    } else {
        const auto begin = states.begin() + first, past = states.begin() + end;
        const auto [soft, stiff] = std::minmax_element(begin, past, softer);
        const auto [thin, thick] = std::minmax_element(begin, past, thinner);
        const bool by_bending = stiff->sums.bending_n_mm * thin->sums.membrane_n_per_mm >=
                                soft->sums.bending_n_mm * thick->sums.membrane_n_per_mm;
        const int middle = (first + end) / 2;
        std::nth_element(begin, states.begin() + middle, past, by_bending ? softer : thinner);
        node.lower = grow(states, first, middle);
        node.upper = grow(states, middle, end);
        const int lower = node.lower, upper = node.upper;
        node = m_nodes[static_cast<std::size_t>(lower)];
        node.first = first;
        node.end = end;
        node.lower = lower;
        node.upper = upper;
        take(node, m_nodes[static_cast<std::size_t>(upper)]);
    }
    m_nodes[static_cast<std::size_t>(index)] = node;
    return index;
}

} // namespace shimledger::planner
