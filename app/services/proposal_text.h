// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/substitute_result.h"

#include <cstddef>
#include <string>
#include <vector>

namespace shimledger::services {

/// "+1.3 %"
[[nodiscard]] std::string percentText(double fraction);

/// In what a proposal is the best one: "closest, fewest discs changed"; "" where in nothing.
[[nodiscard]] std::string meritsText(const planner::ProposalMerits& merits);

/// A proposal in lines for a person: what it is, how it compares, its rows, its pulls.
[[nodiscard]] std::vector<std::string> proposalLines(const planner::SubstituteProposal& proposal,
                                                     const planner::StackSpec& target, std::size_t number);

/// One row of a proposal: "4 x 24.0 x 0.12   in place of 4 x 24.0 x 0.10".
[[nodiscard]] std::string proposalRowText(const planner::ProposalRow& row, const planner::StackSpec& target);

} // namespace shimledger::services
