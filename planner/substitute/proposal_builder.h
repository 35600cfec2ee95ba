#pragma once

#include "planner/substitute/box_search.h"
#include "planner/substitute/substitute_result.h"

#include <vector>

namespace shimledger::planner {

/// Rows, pulls by bin and leg, and figures of one evaluated stack.
[[nodiscard]] SubstituteProposal buildProposal(const SubstituteRequest& request, const SearchFrame& frame,
                                               const EvaluatedStack& stack,
                                               const std::vector<double>& lifts_mm,
                                               const std::vector<double>& target_pressures_mpa);

} // namespace shimledger::planner
