#pragma once

#include "planner/substitute/box_search.h"

#include <vector>

namespace shimledger::planner {

/// The orders of diameters that the rules allow, the target's own first, with the states of every group.
/// Besides it: each crossover at another OD within its tolerance, and, unless every OD is kept, each
/// taper at a neighbouring OD; one group is moved at a time, and the order of diameters stays.
/// `state_limit_hit` tells that a group had too many states to list.
[[nodiscard]] std::vector<SearchFrame> searchFrames(const SubstituteRequest& request,
                                                    const UsableStock& stock, bool& state_limit_hit);

/// Groups of a frame that cannot be left as the target has them: short, or moved to another OD.
[[nodiscard]] std::vector<int> groupsThatMustChange(const SearchFrame& frame);

} // namespace shimledger::planner
