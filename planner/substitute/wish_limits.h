// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/substitute_request.h"

#include <vector>

namespace shimledger::planner {

/// What one OD of the target costs: how near the wanted curve could be with any number of discs of it.
struct WishLimit {
    int row = 0; ///< of the target, from 1: the first of the group
    Length od;
    double deviation = 0;      ///< of the nearest stack found then
    std::vector<Length> sizes; ///< thicknesses that this stack takes and the drawers have too few of
};

/// The ODs with which the wanted curve could be met more nearly than by `now`, the one that helps most first.
/// Each is given plenty of every thickness that `known` has, of whatever OD, and searched for its part of the
/// time. Proves nothing: what is not told was not found to help.
[[nodiscard]] std::vector<WishLimit> wishLimits(const SubstituteRequest& request,
                                                const std::vector<Length>& known_thicknesses, double now,
                                                double most_seconds);

} // namespace shimledger::planner
