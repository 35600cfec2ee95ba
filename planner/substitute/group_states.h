// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/target_groups.h"
#include "planner/substitute/usable_stock.h"

#include <cstdint>
#include <functional>
#include <memory>
#include <vector>

namespace shimledger::planner {

/// Between which sums those of any leg lie, where the legs get discs of different readings.
struct LegRange {
    GroupSums least, greatest;
};

/// One way to fill a group; only the collapsed sums matter to the curve.
struct GroupState {
    std::vector<int> counts; ///< by kind of the group's outline
    Length thickness;        ///< nominal sum: height, and the gap of a crossover
    GroupSums sums;          ///< with effective thicknesses, mean of the legs
    int discs = 0;
    int discs_changed =
        0; ///< discs of the target's group that are not in it, or discs added beyond their number
    std::int64_t cost = 0;                ///< hundredths, one stack
    std::shared_ptr<const LegRange> legs; ///< none: the legs are alike
};

struct StateLimits {
    Length least_thickness, greatest_thickness;
    int most_discs = 0;
    int most_changed = 0; ///< states that change more are left out
    bool collapse = true; ///< false: keep states of equal sums, as two groups draw on the same discs
    /// States of equal sums that are made of other sizes are kept as well: their discs rub differently.
    bool sizes_apart = false;
    std::size_t most_states = 50'000;
    std::int64_t most_visits = 10'000'000;
    std::function<bool()> may_go_on; ///< asked now and then; empty: always
};

struct GroupStateList {
    std::vector<GroupState> states;
    bool cut_short = false;         ///< a limit on states, visits or time came first
    bool more_with_changes = false; ///< some were left out for changing too much
};

/// Everything a group could be made of within the limits; of equal sums (and height) only what no other beats
/// in number of discs, changes and cost. `kinds` of one size lie together.
[[nodiscard]] GroupStateList groupStates(const StackSpec& target, const TargetGroup& group,
                                         const std::vector<DiscKind>& kinds, const StateLimits& limits);

} // namespace shimledger::planner
