// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/plan_job.h"
#include "inventory/inventory_error.h"
#include "inventory/part.h"
#include "inventory/shop_file.h"
#include "inventory/stock_ledger.h"

#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
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

/// What a plan was made from, so that it can be told whether it still holds when it is accepted.
struct PlannedFrom {
    std::int64_t revision = 0; ///< of the drawers
    JobAsk asked;
    planner::SubstituteRules rules;
    std::string made_by{}; ///< whoever accepts it; kept with a wish
};

/// Accepts proposal `proposal` (0-based) of the plan: stores it as the job's build stack, with the target row
/// that each changed row stands in for, keeps what was wished of it, and promises its discs and the job's
/// consumables to the job. All in one transaction: when anything is refused, nothing of it stays.
///
/// What others have posted since the plan's snapshot matters only where it touches what the plan takes: the
/// job itself, a drawer that cannot give its discs any more, discs that were measured anew, a size of which
/// less would be left than the rules keep. Then inventory::StockChanged is thrown: plan again. Throws
/// InputError when there is no such proposal or the job held reservations already when it was planned;
/// inventory::StockRefusal when the plan takes what was never there.
ReservedPlan reservePlan(inventory::ShopFile& shop, const JobPlan& plan, std::size_t proposal,
                         std::string_view made_by = {});

/// The same of a proposal for `legs` legs of `target`.
ReservedPlan reserveProposal(inventory::ShopFile& shop, const std::string& job,
                             const planner::StackSpec& target, int legs,
                             const planner::SubstituteProposal& proposal, const PlannedFrom& from);

/// Where a plan that was overtaken by others was made anew: what has come of it.
struct Overtaken {
    std::string why;     ///< a sentence: what the first plan came too late for; empty: it did not
    std::string refused; ///< a sentence: why the second cannot be booked either; empty: it could
};

/// Plans and accepts at once. Where others have taken meanwhile what the plan takes, it is planned and
/// accepted once more. `reserved` is empty where nothing could be planned or the second plan was overtaken as
/// well.
struct PlannedAndReserved {
    JobPlan plan; ///< the last one
    std::optional<ReservedPlan> reserved;
    Overtaken overtaken;
};
[[nodiscard]] PlannedAndReserved planAndReserve(inventory::ShopFile& shop, const std::string& job,
                                                const SearchSettings& settings, std::size_t proposal,
                                                std::string_view made_by = {});

/// The proposal that has the same rows as that one; none where none has.
[[nodiscard]] std::optional<std::size_t>
proposalOfSameStack(const std::vector<planner::SubstituteProposal>& proposals,
                    const planner::SubstituteProposal& picked);

/// Plans by `plan` and books that by `book`, and where others were faster once more.
template <typename Plan, typename Book>
[[nodiscard]] Overtaken planAndBook(const Plan& plan, const Book& book) {
    Overtaken overtaken;
    plan();
    try {
        book();
        return overtaken;
    } catch (const inventory::StockChanged& changed) {
        overtaken.why = changed.what();
    }
    try {
        plan();
        book();
    } catch (const InputError& refused) { // others again, or the job has ended or is served
        overtaken.refused = refused.what();
    }
    return overtaken;
}

} // namespace shimledger::services
