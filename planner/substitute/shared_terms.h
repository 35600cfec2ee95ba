// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/units/length.h"

#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <utility>
#include <vector>

namespace shimledger::planner {

/// A kind of disc (see DiscKind) of the drawers as they are, before any other job took of them.
struct KindName {
    std::optional<bool> used; ///< of which stock: used ones, new ones, or both together
    Length od, id;
    std::size_t index = 0; ///< among the kinds of this outline

    auto operator<=>(const KindName&) const = default;
};

/// What other jobs leave of a kind to one job.
struct KindTerms {
    std::int64_t most_per_stack = 0;
    /// The very pieces: index into the request's stock, and how many. Empty: as the kind has them.
    std::vector<std::pair<std::size_t, std::int64_t>> lots;

    auto operator<=>(const KindTerms&) const = default;
};

/// By stock (used ones, new ones, or both together) and target group: all jobs together want more of a size
/// than there is, so that the group may change as if it were short.
using ContestedGroups = std::map<std::optional<bool>, std::vector<bool>>;

/// The terms on which one of several jobs is searched. With fewer discs left, never more stacks are allowed:
/// the kinds stay those of the whole drawers, and which groups may change does not depend on what is left.
/// Only what lies under the clamp takes what fits best, and readings of what stays as it is, where they are
/// too many to try, what is nearest to the target (JobAnswer::may_be_closer tells of both). A group that may
/// change only as one of `most_other_groups_changed` takes with it those of its outline.
struct SharedTerms {
    ContestedGroups contested;
    std::map<KindName, KindTerms> kinds; ///< what is not named is left as it is
};

} // namespace shimledger::planner
