// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/job.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_snapshot.h"
#include "inventory/supplier.h"
#include "planner/substitute/substitute_request.h"

#include <functional>
#include <vector>

namespace shimledger::services {

/// How to search: everything of a request that does not come from the shop.
struct SearchSettings {
    planner::SubstituteRules rules;
    planner::SearchLimits limits;
    /// The rules' working lift was asked for, and is not to give way to what is known of a job's valve.
    bool lift_is_asked = false;
    std::function<bool(const planner::SubstituteProgress&)> progress; ///< false ends the search
};

/// The rows of a job's book as the planner has them. Throws InputError on a count beyond an int.
[[nodiscard]] std::vector<planner::DiscRow> plannerRows(const std::vector<inventory::StackRow>& rows);

/// A job's stack as the planner sees it. Throws InputError naming the job, the row and the rule where the
/// rows are no stack that can exist on the job's valve.
[[nodiscard]] planner::StackSpec plannerStack(const inventory::Job& job,
                                              const std::vector<inventory::StackRow>& rows);

/// The same of a stack that may stand on a clamp of its own.
[[nodiscard]] planner::StackSpec plannerStack(const inventory::Job& job, const inventory::JobStack& stack);

/// All lots of shims that could be taken: what is available of them, measured means, used or not, and what
/// one disc costs to replace after the cheapest offer of its part. Pieces that `own` (the job's own
/// reservations) holds count as available.
[[nodiscard]] std::vector<planner::StockItem>
plannerStock(const inventory::StockSnapshot& snapshot, const std::vector<inventory::SupplierPart>& offers,
             const std::vector<inventory::Reservation>& own = {});

[[nodiscard]] planner::SubstituteRequest substituteRequest(const inventory::Job& job,
                                                           const std::vector<inventory::StackRow>& target,
                                                           std::vector<planner::StockItem> stock,
                                                           const SearchSettings& settings);

} // namespace shimledger::services
