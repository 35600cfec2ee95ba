// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/substitute_request.h"
#include "planner/substitute/substitute_result.h"

#include <vector>

namespace shimledger::planner {

/// Sizes short that together make every stack impossible: were all other sizes of the target there in plenty,
/// and the groups that have them still free to change, no stack would be within the rules. No fewer do it.
struct SmallestCause {
    std::vector<Shortage> shortages; ///< in the order of the target; empty: the rules alone exclude it all
    bool each_alone = false;         ///< several sizes, of which each one is such a cause
    bool proved = false;             ///< else the time was not enough, and nothing is told
};

/// For a request with no answer. Tries the sets of sizes short, small ones first.
[[nodiscard]] SmallestCause smallestCause(const SubstituteRequest& request, double most_seconds);

} // namespace shimledger::planner
