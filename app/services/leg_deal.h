// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/pick_list.h"
#include "inventory/shop_file.h"

#include <string>
#include <vector>

namespace shimledger::services {

/// Fills `per_leg` of the lines with the split by leg that the search found: the same rule deals the same
/// lots. What was pulled or given up since the reservation is dealt along, by the readings of that time, so
/// that the rest of a list stays as it was printed.
void dealToLegs(inventory::ShopFile& shop, const std::string& job, int legs, std::vector<PickLine>& lines);

} // namespace shimledger::services
