// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/substitute_request.h"
#include "planner/substitute/substitute_result.h"

#include <functional>
#include <vector>

namespace shimledger::planner {

/// The same request with the clamp, and the target's discs that are as wide as it, of another OD: one for
/// each OD that the rules and the drawers allow, the nearest first. Each looks for the curve that the request
/// looks for. None where no disc of the target is as wide as the clamp, so that nobody knows which one
/// clamps.
[[nodiscard]] std::vector<SubstituteRequest> onOtherClamps(const SubstituteRequest& request);

/// Searches on the target's own clamp and on each of those, sharing the seconds out, and tells the best of
/// all; proved where each search is, or cannot hold anything closer.
[[nodiscard]] SubstituteResult
searchClamps(const SubstituteRequest& request,
             const std::function<SubstituteResult(const SubstituteRequest&)>& search);

} // namespace shimledger::planner
