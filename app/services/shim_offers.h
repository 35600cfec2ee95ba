// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/part.h"
#include "inventory/shop_file.h"
#include "inventory/supplier.h"
#include "planner/substitute/cheapest_purchase.h"

#include <map>
#include <string>
#include <vector>

namespace shimledger::services {

/// Offers of shims, as the shop has them and as the planner sees them; the two lists go together.
struct ShimOffers {
    std::vector<inventory::SupplierPart> offers;
    std::vector<planner::PackOffer> packs;
    std::map<std::string, inventory::Part> parts;
    std::string currency;
};

/// Those in the currency that most of them are in.
[[nodiscard]] ShimOffers shimOffers(inventory::ShopFile& shop);

/// "10 x shim 24.0 x 6.0 x 0.10, a pack of 10 from Northgate; ...".
[[nodiscard]] std::string purchaseText(const ShimOffers& known, const planner::Purchase& purchase);

} // namespace shimledger::services
