// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/calendar.h"
#include "inventory/shop_file.h"
#include "planner/reorder/demand_history.h"

#include <map>
#include <string>

namespace shimledger::services {

/// What was asked for of each part in each of the whole weeks up to (and without) `today`, oldest first, at
/// most `most_weeks`, job by job: what one day took of a part stands for one job. A part's history begins
/// with the week of its first movement; a part that never moved has none.
///
/// Issues count, less new pieces that came back. Undone issues, counts, scrap and moves do not. Where another
/// part stood in, the demand is booked once, to the part that was wanted: what the job's target asks of it
/// (or, where no target is known, as many pieces as stood in). The part that stood in was not asked for.
[[nodiscard]] std::map<std::string, planner::DemandHistory>
demandHistories(inventory::ShopFile& shop, inventory::CalendarDate today, int most_weeks = 156);

} // namespace shimledger::services
