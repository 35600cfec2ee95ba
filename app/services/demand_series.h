#pragma once

#include "inventory/calendar.h"
#include "inventory/shop_file.h"

#include <map>
#include <string>
#include <vector>

namespace shimledger::services {

/// What was asked for of each part in each of the whole weeks up to (and without) `today`, oldest first, at
/// most `most_weeks`. A part's series begins with the week of its first movement; a part that never moved has
/// none.
///
/// Issues count, less new pieces that came back. Undone issues, counts, scrap and moves do not. Where another
/// part stood in, the demand is booked to both: to the one used what left the drawer, to the one wanted what
/// the job's target asks of it (or, where no target is known, as many pieces as stood in).
[[nodiscard]] std::map<std::string, std::vector<double>>
demandByWeek(inventory::ShopFile& shop, inventory::CalendarDate today, int most_weeks = 156);

} // namespace shimledger::services
