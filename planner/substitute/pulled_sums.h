// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/disc_group.h"
#include "planner/stack/stack_spec.h"
#include "planner/substitute/substitute_result.h"

#include <vector>

namespace shimledger::planner {

/// The sums of each group of `built` (see groupStack) as the discs that are pulled for it have them, on
/// average over the legs: a lot's reading where there is one, else its nominal thickness. A row that nothing
/// is pulled for counts as nominal.
[[nodiscard]] std::vector<GroupSums> pulledSums(const StackSpec& built, const std::vector<Pull>& pulls);

} // namespace shimledger::planner
