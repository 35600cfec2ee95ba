// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/click_advice.h"

#include "app/services/proposal_text.h"
#include "app/services/warp_check.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

namespace shimledger::services {

namespace {

constexpr double equal_part = 0.01; // of the force: less than a hand at the adjuster finds

/// What of the proposal goes into one leg; all of it where nobody has dealt the discs out.
planner::SubstituteProposal legOf(const planner::SubstituteProposal& proposal, std::size_t leg) {
    planner::SubstituteProposal part;
    part.rows = proposal.rows;
    for (const planner::Pull& pull : proposal.pulls) {
        part.pulls.push_back(pull);
        if (leg < pull.per_leg.size()) part.pulls.back().quantity = pull.per_leg[leg];
    }
    std::erase_if(part.pulls, [](const planner::Pull& pull) { return pull.quantity == 0; });
    return part;
}

std::vector<planner::StackSpec> stacksByLeg(const planner::StackSpec& target,
                                            const planner::SubstituteProposal& proposal) {
    std::size_t legs = 1;
    for (const planner::Pull& pull : proposal.pulls) legs = std::max(legs, pull.per_leg.size());
    std::vector<planner::StackSpec> stacks;
    for (std::size_t leg = 0; leg < legs; ++leg) stacks.push_back(pulledStack(target, legOf(proposal, leg)));
    const bool alike = std::all_of(stacks.begin(), stacks.end(),
                                   [&](const planner::StackSpec& stack) { return stack == stacks.front(); });
    if (alike) stacks.resize(1, stacks.front());
    return stacks;
}

bool oneClickEquals(const planner::ClickMatch& match) {
    return std::abs(match.click - match.other_click) == 1 && std::abs(match.ratio - 1) < equal_part;
}

} // namespace

std::string clickText(const planner::ClickMatch& match) {
    const int clicks = match.click - match.other_click;
    std::string text;
    if (clicks == 0) {
        text = fmt::format("it is nearest to the target at the same click ({}): {}", match.click,
                           percentText(match.ratio - 1));
    } else {
        const int count = std::abs(clicks);
        text = fmt::format(
            "it is the target with {} click{} more {} ({} instead of {}): {}, at the same click {}",
            count == 1 ? std::string("one") : std::to_string(count), count == 1 ? "" : "s",
            clicks > 0 ? "out" : "in", match.click, match.other_click, percentText(match.ratio - 1),
            percentText(match.ratio_at_same_click - 1));
    }
    if (match.at_end) text += "; there the adjuster ends";
    return text;
}

ClickAdvice clickAdvice(const planner::StackSpec& target, const planner::ValveFlow& flow,
                        const planner::SubstituteProposal& proposal) {
    ClickAdvice advice;
    if (!flow.click) return advice;
    const std::vector<planner::StackSpec> stacks = stacksByLeg(target, proposal);
    for (const planner::StackSpec& stack : stacks) {
        const auto match = planner::matchClicks({stack, flow}, target);
        if (!match) return {};
        advice.legs.push_back(*match);
    }
    advice.one_click_equals = std::all_of(advice.legs.begin(), advice.legs.end(), oneClickEquals);
    advice.sentence = fmt::format("At {:.3g} m/s", advice.legs.front().speed_m_s);
    for (std::size_t leg = 0; leg < advice.legs.size(); ++leg) {
        if (advice.legs.size() > 1)
            advice.sentence += fmt::format("{} leg {}:", leg == 0 ? "," : ";", leg + 1);
        advice.sentence += " " + clickText(advice.legs[leg]);
    }
    advice.sentence += advice.one_click_equals ? ". One click makes it equal." : ".";
    return advice;
}

} // namespace shimledger::services
