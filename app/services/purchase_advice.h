// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/reorder_inputs.h"
#include "inventory/shop_file.h"
#include "planner/substitute/substitute_request.h"

#include <string>
#include <vector>

namespace shimledger::services {

/// What to buy so that an impossible job becomes possible.
struct PurchaseAdvice {
    std::vector<ExtraDemand> pieces; ///< for ReorderOptions::extra; empty: no offer helps
    std::string sentence;            ///< empty: nobody asked
};

/// The cheapest packs of the suppliers' offers with which the request of a job, otherwise impossible, would
/// have an answer under its rules; by list prices of single packs, without freight and price breaks, which
/// the order plan knows. Offers are compared in the currency that most of them are in. May take a second.
[[nodiscard]] PurchaseAdvice purchaseAdvice(inventory::ShopFile& shop, const std::string& job,
                                            const planner::SubstituteRequest& request);

} // namespace shimledger::services
