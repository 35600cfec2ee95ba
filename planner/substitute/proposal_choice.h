// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/search_record.h"
#include "planner/substitute/substitute_result.h"

#include <cstddef>
#include <utility>
#include <vector>

namespace shimledger::planner {

/// The closest stack, the one with fewest changes, the least height change, the cheapest, then the next
/// closest, at most `most` of them, closest first: indices into the record's choices, and in what each is the
/// best.
[[nodiscard]] std::vector<std::pair<std::size_t, ProposalMerits>> chooseProposals(const SearchRecord& record,
                                                                                  std::size_t most);

} // namespace shimledger::planner
