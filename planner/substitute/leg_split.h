// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/units/length.h"

#include <cstdint>
#include <string>
#include <vector>

namespace shimledger::planner {

/// Discs of one size and reading that are pulled from one bin, for all legs together.
struct LegLot {
    Length od;
    Length thickness; ///< nominal
    Length reading;   ///< mean of the lot; the nominal where nothing was measured
    std::string bin;
    std::string part;
    bool used = false;
    std::int64_t walking_order = 0;
    std::int64_t quantity = 0;
    std::vector<std::int64_t> per_leg{}; ///< filled by dealToLegs()
};

/// Deals every lot to the legs. Whole rounds come from the same bin for every leg; of each size the legs get
/// the same number (one more or less where it does not go round), and what is left of the rounds is dealt so
/// that the sums of t^3 of each OD differ least: exactly for two legs and up to twenty thousand ways, else
/// thickest first to the leg that is behind. Differences of several ODs are turned against each other.
/// The split depends on the lots alone, not on their order: a search and a pick list that is made of its
/// reservation later tell the same.
void dealToLegs(std::vector<LegLot>& lots, int legs);

} // namespace shimledger::planner
