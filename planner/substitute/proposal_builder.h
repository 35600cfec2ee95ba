// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/box_search.h"
#include "planner/substitute/substitute_result.h"
#include "planner/substitute/target_curve.h"

#include <optional>
#include <vector>

namespace shimledger::planner {

/// A stack and the frame whose states it names.
struct FramedStack {
    const SearchFrame* frame = nullptr;
    const EvaluatedStack* stack = nullptr;
};

/// Rows, pulls by bin and leg, and figures. All have the same lifts: those of the comparison, and one for
/// each proposal where it deviates most. The curve and the deviation are those of the leg that deviates most.
/// By stack; none where a leg has no curve at one of the lifts, at which its edge sinks as the pressure
/// rises.
[[nodiscard]] std::vector<std::optional<SubstituteProposal>>
buildProposals(const SubstituteRequest& request, const TargetCurve& target,
               const std::vector<FramedStack>& stacks);

/// Largest part of the pressure by which the legs' curves, taken at the same lifts, differ.
[[nodiscard]] double legDifference(const std::vector<std::vector<double>>& legs);

/// What each leg's groups add up to, with the discs that it is dealt. `state` by group.
[[nodiscard]] std::vector<std::vector<GroupSums>>
legSums(const SubstituteRequest& request, const SearchFrame& frame, const std::vector<int>& state);

} // namespace shimledger::planner
