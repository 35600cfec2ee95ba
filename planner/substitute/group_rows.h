// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/stack/stack_spec.h"
#include "planner/substitute/substitute_result.h"
#include "planner/substitute/target_groups.h"
#include "planner/substitute/usable_stock.h"

#include <vector>

namespace shimledger::planner {

/// Adds the rows that a group is built of: the target's, in its order, with the new counts, then the sizes
/// that it did not have, thinnest first. `counts` by kind.
void addGroupRows(const StackSpec& target, const TargetGroup& group, const std::vector<DiscKind>& kinds,
                  const std::vector<int>& counts, std::vector<ProposalRow>& rows);

} // namespace shimledger::planner
