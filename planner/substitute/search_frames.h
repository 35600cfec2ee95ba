// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/box_search.h"

#include <functional>
#include <vector>

namespace shimledger::planner {

/// The orders of diameters that the rules allow, the target's own first, with the states of every group.
/// Besides it: crossovers at another OD within their tolerance, and, unless their ODs are kept, the face
/// and tapers at a neighbouring OD; at most `most_groups_moved` of them at once, and the order of diameters
/// stays. Of each group the states that change least are listed: all within the rules, or, where there are
/// many, at least `states_wanted` of them. With `whole_or_none` there are no frames where any list would be
/// cut short.
struct FrameList {
    std::vector<SearchFrame> frames;
    bool cut_short = false; ///< too many orders, too many states of a group, or `may_go_on` said no
    bool more = false;      ///< further states change more discs and were left out
};
[[nodiscard]] FrameList searchFrames(const SubstituteRequest& request, const UsableStock& stock,
                                     std::size_t states_wanted, const std::function<bool()>& may_go_on,
                                     const SharedTerms* terms = nullptr, bool whole_or_none = false);

} // namespace shimledger::planner
