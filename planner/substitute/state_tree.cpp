#include "planner/substitute/state_tree.h"

#include <algorithm>
#include <tuple>

namespace shimledger::planner {

namespace {

void take(StateTree::Node& node, const StateTree::Node& part) {
    node.least.thickness_mm = std::min(node.least.thickness_mm, part.least.thickness_mm);
    node.least.bending_n_mm = std::min(node.least.bending_n_mm, part.least.bending_n_mm);
    node.least.membrane_n_per_mm = std::min(node.least.membrane_n_per_mm, part.least.membrane_n_per_mm);
    node.greatest.thickness_mm = std::max(node.greatest.thickness_mm, part.greatest.thickness_mm);
    node.greatest.bending_n_mm = std::max(node.greatest.bending_n_mm, part.greatest.bending_n_mm);
    node.greatest.membrane_n_per_mm =
        std::max(node.greatest.membrane_n_per_mm, part.greatest.membrane_n_per_mm);
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
        node.least = state.legs ? state.legs->least : state.sums;
        node.greatest = state.legs ? state.legs->greatest : state.sums;
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
        const Node lower = m_nodes[static_cast<std::size_t>(node.lower)];
        node.least = lower.least;
        node.greatest = lower.greatest;
        node.thinnest = lower.thinnest;
        node.thickest = lower.thickest;
        node.fewest_discs = lower.fewest_discs;
        node.fewest_changed = lower.fewest_changed;
        node.least_cost = lower.least_cost;
        take(node, m_nodes[static_cast<std::size_t>(node.upper)]);
    }
    m_nodes[static_cast<std::size_t>(index)] = node;
    return index;
}

} // namespace shimledger::planner
