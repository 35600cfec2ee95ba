// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/substitute_request.h"
#include "planner/substitute/substitute_result.h"

#include <optional>
#include <vector>

namespace shimledger::planner {

/// What is known of the discs of each row of a proposal from the lots that it pulls: a mean where all of a
/// row's discs come from lots that were measured, and a standard deviation from disc to disc where all of
/// those lots were read more than once (lots of different means count as spread, too).
[[nodiscard]] std::vector<RowThickness> rowThicknesses(const SubstituteProposal& proposal);

/// The band of the stack as it will be built, from those readings and, where there are none, from the
/// tolerance of the rules. None where the stack cannot be solved.
[[nodiscard]] std::optional<ScatterBand> proposalScatter(const SubstituteRequest& request,
                                                         const SubstituteProposal& proposal);

/// Tells of each proposal whether it keeps within the target's own scatter band, and how wide its own is.
void judgeScatter(const SubstituteRequest& request, std::vector<SubstituteProposal>& proposals);

} // namespace shimledger::planner
