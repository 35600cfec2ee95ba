#pragma once

#include "app/services/pick_list.h"
#include "inventory/stock_snapshot.h"

#include <string>
#include <vector>

namespace shimledger::services {

/// Fills `per_leg` of the lines with the split by leg that the search found: the same rule deals the same
/// lots. What was pulled or given up since the reservation is dealt along, so that the rest of a list stays
/// as it was printed.
void dealToLegs(inventory::ShopFile& shop, const std::string& job, int legs,
                const inventory::StockSnapshot& snapshot, std::vector<PickLine>& lines);

} // namespace shimledger::services
