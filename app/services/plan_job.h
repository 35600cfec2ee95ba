// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/click_advice.h"
#include "app/services/job_ask.h"
#include "app/services/known_flow.h"
#include "app/services/purchase_advice.h"
#include "app/services/stock_to_request.h"
#include "app/services/warp_check.h"
#include "inventory/job.h"
#include "inventory/shop_file.h"
#include "planner/substitute/substitute_result.h"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// A consumable of the job that the drawers cannot give in full. Only new ones count.
struct ConsumableShortage {
    std::string part;
    std::int64_t needed = 0; ///< what the job still wants, all legs
    std::int64_t available = 0;
    std::string sentence;
};

/// What the drawers cannot give of a job's target and consumables.
struct JobShortages {
    std::vector<planner::Shortage> shortages; ///< of target discs; empty: it can be built as it is
    std::vector<ConsumableShortage> consumables_short;
};

/// A job's target against the drawers of one moment. Nothing was searched.
struct JobCheck : JobShortages {
    std::string job;
    std::int64_t revision = 0; ///< of the snapshot; see StockLedger::reserve
    JobAsk asked;              ///< by the job, at that moment
    planner::SubstituteRequest request;
    KnownFlow flow; ///< of the job's valve, as its component model tells it
};

/// Throws InputError when there is no such job, when it has ended, or when it has no target stack that can
/// exist. Pieces reserved for the job itself count as available to it.
[[nodiscard]] JobCheck checkJob(inventory::ShopFile& shop, std::string_view job,
                                const SearchSettings& settings = {});

/// The shortages alone, under the usual rules: reads only what the job asks for, so that a look at one job
/// takes no longer in a large shop. Throws as checkJob.
[[nodiscard]] JobShortages jobShortages(inventory::ShopFile& shop, std::string_view job);

/// A check with an answer. A proposal may be handed to reservePlan().
struct JobPlan : JobCheck {
    planner::SubstituteResult result;
    ComparedRange range;                      ///< how far the search compared, and why
    std::vector<WarpComparison> warp_results; ///< one a proposal, over the whole working range
    std::vector<ClickAdvice> clicks;          ///< one a proposal; none where the valve has no adjuster
    PurchaseAdvice purchase;                  ///< where nothing is possible
};

/// Runs up to the limits of the settings; a progress callback that returns false ends it with what was found.
/// The stock is read once, before the search, and the shop is not held meanwhile.
[[nodiscard]] JobPlan planJob(inventory::ShopFile& shop, std::string_view job,
                              const SearchSettings& settings = {});

} // namespace shimledger::services
