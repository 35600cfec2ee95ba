#pragma once

#include "planner/substitute/substitute_request.h"
#include "planner/substitute/substitute_result.h"

#include <string>
#include <vector>

namespace shimledger::planner {

/// Checks a proposal against the request without any code of the search: pulls against stock, bins and
/// reserves, pulls against rows, every rule, and the whole curve on the fine grid. Returns what is wrong,
/// one sentence each; empty when all is well.
[[nodiscard]] std::vector<std::string> recheckProposal(const SubstituteRequest& request,
                                                       const SubstituteProposal& proposal);

} // namespace shimledger::planner
