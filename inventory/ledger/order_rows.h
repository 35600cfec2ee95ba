// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/purchase_orders.h"
#include "inventory/storage/shop_connection.h"

#include <cstdint>
#include <optional>
#include <string_view>

namespace shimledger::inventory {

/// Rules and rows of orders that PurchaseOrders and the importer share. All throw FieldError.

/// The head of the order, without its lines; it is open.
void insertOrder(ShopConnection& connection, const PurchaseOrder& order);
/// With a number, the line gets that number, which must be free.
void insertOrderLine(ShopConnection& connection, std::string_view order, const OrderLine& line,
                     std::optional<std::int64_t> number);
void closeOrder(ShopConnection& connection, std::string_view order);

} // namespace shimledger::inventory
