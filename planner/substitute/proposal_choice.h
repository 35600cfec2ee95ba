#pragma once

#include "planner/substitute/box_search.h"
#include "planner/substitute/substitute_result.h"

#include <vector>

namespace shimledger::planner {

/// The few stacks to choose from, closest first: the closest, and of those that deviate at most
/// `choice_margin` more, the one with fewest changes, with the smallest height change and the cheapest to
/// replace; then the next closest that no other beats in every respect.
[[nodiscard]] std::vector<SubstituteProposal>
chooseProposals(const SubstituteRequest& request, const std::vector<SearchFrame>& frames,
                const std::vector<EvaluatedStack>& choices, const std::vector<double>& lifts_mm,
                const std::vector<double>& target_pressures_mpa);

constexpr double choice_margin = 0.15;

} // namespace shimledger::planner
