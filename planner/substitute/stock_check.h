// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/search_frames.h"
#include "planner/substitute/substitute_request.h"
#include "planner/substitute/substitute_result.h"

#include <vector>

namespace shimledger::planner {

/// The groups of the target that nothing in the drawers can fill for all legs, whichever OD the rules let
/// them have. Each of them alone makes every stack impossible, and all of them must be lifted.
[[nodiscard]] std::vector<Shortage> causesOfImpossibility(const SubstituteRequest& request,
                                                          const std::vector<SearchFrame>& frames);

} // namespace shimledger::planner
