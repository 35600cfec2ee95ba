// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/reorder.h"
#include "inventory/purchase_orders.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace shimledger::services {

/// Changes what a plan would order: so many packs of a part from a supplier; 0 drops it. A part (or a
/// supplier) that the plan has not is added, at the supplier's offer of that pack size, or of the smallest
/// pack where none is named. Throws InputError: packs below 0 or above 100000, no such supplier, part or
/// offer, an offer without a price.
void setPacks(inventory::ShopFile& shop, ReorderPlan& plan, const std::string& supplier,
              const std::string& part, std::int64_t packs, std::optional<std::int64_t> pack_size = {});

/// "PO-2026-001", the first that is free in the shop's year.
[[nodiscard]] std::string nextOrderCode(inventory::ShopFile& shop);

/// Ordered: books the lines with packs above 0, each at its price, as a purchase order, so that they are on
/// order. Without a code it gets the next one. Throws InputError: nothing to order, code taken, unknown
/// supplier or part.
inventory::PurchaseOrder placeOrder(inventory::ShopFile& shop, const SupplierOrder& order,
                                    std::string code = {}, std::string_view note = {});

} // namespace shimledger::services
