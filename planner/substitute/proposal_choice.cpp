// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/proposal_choice.h"

#include <algorithm>
#include <tuple>

namespace shimledger::planner {

std::vector<std::pair<std::size_t, ProposalMerits>> chooseProposals(const SearchRecord& record,
                                                                    std::size_t most) {
    const std::vector<EvaluatedStack>& stacks = record.choices();
    const auto indexOf = [&](SearchGoal goal) {
        return static_cast<std::size_t>(record.bestIn(goal) - stacks.data());
    };
    std::vector<std::pair<std::size_t, ProposalMerits>> chosen;
    const auto add = [&](std::size_t index) -> ProposalMerits* {
        for (auto& [known, merits] : chosen) {
            if (known == index) return &merits;
        }
        if (chosen.size() >= most) return nullptr;
        return &chosen.emplace_back(index, ProposalMerits{}).second;
    };
    if (stacks.empty()) return chosen;
    if (auto* merits = add(indexOf(SearchGoal::closest))) merits->closest = true;
    if (auto* merits = add(indexOf(SearchGoal::fewest_changes))) merits->fewest_changes = true;
    if (auto* merits = add(indexOf(SearchGoal::flattest))) merits->smallest_height_change = true;
    if (record.bestIn(SearchGoal::cheapest)->cost > 0) { // else no price is known
        if (auto* merits = add(indexOf(SearchGoal::cheapest))) merits->spares_scarce = true;
    }
    std::vector<std::size_t> order(stacks.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    const auto key = [&](std::size_t i) {
        const EvaluatedStack& s = stacks[i];
        return std::tie(s.deviation, s.leg_difference, s.discs_changed, s.cost, s.frame, s.state);
    };
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return key(a) < key(b); });
    for (const std::size_t i : order) {
        if (stacks[i].deviation <= record.poorestChoice()) add(i);
    }
    std::sort(chosen.begin(), chosen.end(),
              [&](const auto& a, const auto& b) { return key(a.first) < key(b.first); });
    return chosen;
}

} // namespace shimledger::planner
