#pragma once

#include "app/services/stock_to_request.h"
#include "inventory/shop_file.h"
#include "planner/substitute/shared_stock_plan.h"

#include <cstdint>
#include <string>
#include <vector>

namespace shimledger::services {

/// All open jobs against the drawers of one moment. Nothing is reserved: accept them one by one, the most
/// urgent first, each after a plan of its own.
struct AllJobsPlan {
    std::int64_t revision = 0; ///< of the snapshot
    planner::SharedStockPlan plan;
    std::vector<std::string> left_out; ///< open jobs that cannot be planned, a sentence each
};

/// Jobs that hold reservations or have pulled their discs already keep them: only open ones are planned, with
/// what the others leave.
[[nodiscard]] AllJobsPlan planAllJobs(inventory::ShopFile& shop, const SearchSettings& settings = {});

} // namespace shimledger::services
