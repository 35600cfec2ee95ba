// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/box_search.h"

#include <vector>

namespace shimledger::planner {

/// Groups of a frame that cannot be left as the target has them: short, or moved to another OD.
[[nodiscard]] std::vector<int> groupsThatMustChange(const SearchFrame& frame);

/// Groups that may only change together: each by itself, or, as one, those that draw on the same discs.
[[nodiscard]] std::vector<std::vector<int>> unitsOf(const SearchFrame& frame);

} // namespace shimledger::planner
