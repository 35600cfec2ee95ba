// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/kit/stack_ways.h"
#include "planner/stack/stack_spec.h"

#include <cstdint>
#include <vector>

namespace shimledger::planner {

/// Stacks that nobody has asked for yet but somebody may: each one of the given stacks with one or two rows
/// changed by a disc, a thickness or an OD to what is sold next to it, as a shop's own stacks differ from
/// each other. None equals one of the given or another. `weights` >= 0, of being the one that is changed.
struct StackVariant {
    std::size_t of = 0; ///< the stack that it was made from
    StackSpec stack;
};
[[nodiscard]] std::vector<StackVariant> stackVariants(const std::vector<StackSpec>& stacks,
                                                      const std::vector<double>& weights,
                                                      const std::vector<DiscSize>& sizes, int count,
                                                      std::uint64_t seed);

} // namespace shimledger::planner
