#pragma once

#include "planner/substitute/box_search.h"

#include <vector>

namespace shimledger::planner {

/// Groups of a frame that cannot be left as the target has them: short, or moved to another OD. `state`:
/// which of a group's states is left as it is.
[[nodiscard]] std::vector<int> groupsThatMustChange(const SearchFrame& frame,
                                                    int GroupChoices::*state = &GroupChoices::base);

/// Groups that may only change together: each by itself, or, as one, those that draw on the same discs.
[[nodiscard]] std::vector<std::vector<int>> unitsOf(const SearchFrame& frame);

} // namespace shimledger::planner
