#pragma once

#include "planner/mechanics/disc_group.h"
#include "planner/substitute/usable_stock.h"

#include <vector>

namespace shimledger::planner {

/// A run of rows of one outline, as the search sees the target.
struct TargetGroup {
    int first_row = 0;
    int row_count = 0;
    Length od, id;    ///< id: the valve's bore, or the ring's
    Length thickness; ///< sum over its discs
    int discs = 0;
    bool crossover = false; ///< smaller than what lies on both sides: its thickness is a gap
    bool ring = false;
    double elastic_modulus_mpa = 0;
};

[[nodiscard]] std::vector<TargetGroup> targetGroups(const StackSpec& target);

/// One way to fill a group; only the collapsed sums matter to the curve.
struct GroupState {
    std::vector<int> counts; ///< by kind of the group's outline
    Length thickness;        ///< nominal sum: height, and the gap of a crossover
    GroupSums sums;          ///< with effective thicknesses
    int discs = 0;
    int discs_changed = 0; ///< discs of the target's group that are not in it
    std::int64_t cost = 0; ///< hundredths, one stack
};

/// Everything a group could be made of within the limits, one state for each pair of sums (the one with
/// fewest changes, then cheapest, then first). `collapse` false keeps all, for outlines that two groups
/// share. Where `most_states` or `most_visits` come first, the list is not whole and `cut_short` becomes
/// true.
struct StateLimits {
    Length least_thickness, greatest_thickness;
    int most_discs = 0;
    int most_changed = 0;
    bool collapse = true;
    std::size_t most_states = 20'000;
    std::int64_t most_visits = 4'000'000;
};
[[nodiscard]] std::vector<GroupState> groupStates(const StackSpec& target, const TargetGroup& group,
                                                  const std::vector<DiscKind>& kinds,
                                                  const StateLimits& limits, bool& cut_short);

} // namespace shimledger::planner
