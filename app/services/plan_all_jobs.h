// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/reserve_plan.h"
#include "app/services/stock_to_request.h"
#include "app/services/warp_check.h"
#include "inventory/shop_file.h"
#include "planner/substitute/shared_stock_plan.h"

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::services {

/// All open jobs against the drawers of one moment. `jobs`, `asked`, `plan.jobs`, `ranges` and `warp_results`
/// have one order, the most urgent job first.
struct AllJobsPlan {
    std::int64_t revision = 0; ///< of the snapshot
    double gap = 0;            ///< a proof of the plan is to so much of the pressure for each job
    planner::SubstituteRules rules;
    std::vector<planner::SharedJob> jobs;
    std::vector<JobAsk> asked;
    planner::SharedStockPlan plan;
    std::vector<ComparedRange> ranges;                       ///< how far each was compared
    std::vector<std::optional<WarpComparison>> warp_results; ///< over the whole working range; none where
                                                             ///< there is no proposal or the user stopped
    std::vector<std::string> left_out; ///< open jobs that cannot be planned, a sentence each
};

using SharedProgressCall = std::function<bool(const planner::SharedProgress&)>;

/// Jobs that hold reservations or have pulled their discs already keep them: only open ones are planned, with
/// what the others leave. The progress callback of the settings is not asked: `progress` is, and ends it with
/// the best plan so far when it returns false. At most `seconds` for the search. With `component` only the
/// open valves of that job's component are planned.
[[nodiscard]] AllJobsPlan planAllJobs(inventory::ShopFile& shop, const SearchSettings& settings = {},
                                      const SharedProgressCall& progress = {}, double seconds = 60,
                                      std::string_view component = {});

struct ReservedJob {
    std::string job;
    ReservedPlan reserved;
};

/// Accepts what was planned for every job, as reservePlan() does for one: all of them or, where one is
/// refused or overtaken, none. Throws as that.
std::vector<ReservedJob> reserveAllJobs(inventory::ShopFile& shop, const AllJobsPlan& all);

/// Plans all jobs and accepts that at once, as planAndReserve() does for one.
struct AllPlannedAndReserved {
    AllJobsPlan plan; ///< the last one
    std::vector<ReservedJob> reserved;
    Overtaken overtaken;
};
/// `plan` makes the plan; it is asked once, or twice.
[[nodiscard]] AllPlannedAndReserved planAndReserveAll(inventory::ShopFile& shop,
                                                      const std::function<AllJobsPlan()>& plan);

} // namespace shimledger::services
