#pragma once

#include "app/services/plan_job.h"
#include "inventory/part.h"
#include "inventory/shop_file.h"
#include "inventory/stock_ledger.h"

#include <cstddef>
#include <cstdint>
#include <map>
#include <string>
#include <vector>

namespace shimledger::services {

struct ReservedPlan {
    inventory::PostedBatch batch;
    std::int64_t discs = 0;                                      ///< pieces promised, all legs
    std::map<inventory::QuantityUnit, std::int64_t> consumables; ///< promised, by unit
    std::vector<std::string> missing; ///< consumables that the drawers could not give in full, one sentence
                                      ///< each; the reorder sheet has them

    [[nodiscard]] std::string consumablesText() const; ///< "12 pieces and 900 ml of consumables"
};

/// Accepts proposal `proposal` (0-based) of the plan: stores it as the job's build stack, with the target row
/// that each changed row stands in for, and promises its discs and the job's consumables to the job. All in
/// one transaction: when anything is refused, nothing of it stays.
///
/// Throws InputError when there is no such proposal or the job holds reservations already;
/// inventory::StockChanged when anything was posted since the plan's snapshot (plan again);
/// inventory::StockRefusal when a drawer cannot give what the plan takes.
ReservedPlan reservePlan(inventory::ShopFile& shop, const JobPlan& plan, std::size_t proposal);

/// The same of a proposal for `legs` legs of `target`, from drawers of `revision`.
ReservedPlan reserveProposal(inventory::ShopFile& shop, const std::string& job,
                             const planner::StackSpec& target, int legs,
                             const planner::SubstituteProposal& proposal, std::int64_t revision);

} // namespace shimledger::services
