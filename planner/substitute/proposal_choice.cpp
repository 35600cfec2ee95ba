#include "planner/substitute/proposal_choice.h"

#include "planner/mechanics/scatter_band.h"
#include "planner/substitute/proposal_builder.h"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace shimledger::planner {

namespace {

std::int64_t magnitude(Length length) {
    return std::abs(length.micrometres());
}

bool insideBand(const std::optional<ScatterBand>& band, const std::vector<double>& pressures_mpa) {
    if (!band) return false;
    for (std::size_t i = 0; i < pressures_mpa.size(); ++i) {
        if (pressures_mpa[i] < band->low_mpa[i] || pressures_mpa[i] > band->high_mpa[i]) return false;
    }
    return true;
}

} // namespace

std::vector<SubstituteProposal> chooseProposals(const SubstituteRequest& request,
                                                const std::vector<SearchFrame>& frames,
                                                const std::vector<EvaluatedStack>& choices,
                                                const std::vector<double>& lifts_mm,
                                                const std::vector<double>& target_pressures_mpa) {
    std::vector<EvaluatedStack> near = choices;
    const auto closer = [](const EvaluatedStack& a, const EvaluatedStack& b) {
        return std::tie(a.deviation, a.discs_changed, a.frame, a.state) <
               std::tie(b.deviation, b.discs_changed, b.frame, b.state);
    };
    std::sort(near.begin(), near.end(), closer);
    const double widest = near.front().deviation + choice_margin;
    std::erase_if(near, [&](const EvaluatedStack& stack) { return stack.deviation > widest; });

    // Ties go to the closer one, as the list is in that order and min_element takes the first.
    const auto leastBy = [&](const auto& measure) {
        const auto least =
            std::min_element(near.begin(), near.end(), [&](const EvaluatedStack& a, const EvaluatedStack& b) {
                return measure(a) < measure(b);
            });
        return static_cast<std::size_t>(least - near.begin());
    };
    const std::size_t fewest =
        leastBy([](const EvaluatedStack& s) { return static_cast<std::int64_t>(s.discs_changed); });
    const std::size_t level = leastBy([](const EvaluatedStack& s) { return magnitude(s.height_change); });
    const std::size_t cheapest = leastBy([](const EvaluatedStack& s) { return s.cost; });
    const bool priced =
        std::any_of(near.begin(), near.end(), [](const EvaluatedStack& s) { return s.cost > 0; });

    std::vector<std::size_t> picked;
    const auto pick = [&](std::size_t index) {
        if (static_cast<int>(picked.size()) >= request.limits.proposals) return;
        if (std::find(picked.begin(), picked.end(), index) == picked.end()) picked.push_back(index);
    };
    pick(0);
    pick(fewest);
    pick(level);
    if (priced) pick(cheapest);
    for (std::size_t i = 0; i < near.size(); ++i) pick(i);
    std::sort(picked.begin(), picked.end());

    const auto band =
        scatterBand(*request.target, {}, lifts_mm, request.rules.tolerance, request.rules.regime);
    std::vector<SubstituteProposal> proposals;
    for (const std::size_t index : picked) {
        const EvaluatedStack& stack = near[index];
        proposals.push_back(
            buildProposal(request, frames[stack.frame], stack, lifts_mm, target_pressures_mpa));
        SubstituteProposal& proposal = proposals.back();
        proposal.merits = {index == 0, index == fewest, index == level, priced && index == cheapest};
        proposal.within_scatter = insideBand(band, stack.pressures_mpa);
    }
    return proposals;
}

} // namespace shimledger::planner
