// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/substitute_request.h"
#include "planner/substitute/substitute_result.h"

namespace shimledger::planner {

/// What of the target the drawers cannot give for all legs: empty where it can be built as it is.
/// Discs must have the valve's bore (or the ring's) and exactly the nominal size.
[[nodiscard]] std::vector<Shortage> checkAgainstStock(const SubstituteRequest& request);

/// The stacks closest to the target that the drawers can build `legs` times over. Same request, same answer.
/// The target itself is the first proposal (deviation 0) where it can be built, unless its discs were read to
/// be others. Where the default grid is not good enough for what was found, the search is made on the fine
/// one. Every proposal has been re-checked by ProposalRecheck; one that fails raises std::logic_error, as
/// that is a bug of the search.
[[nodiscard]] SubstituteResult findSubstitutes(const SubstituteRequest& request);

} // namespace shimledger::planner
