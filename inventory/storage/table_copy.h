// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/storage/shop_connection.h"

#include <cstdint>
#include <string>
#include <vector>

namespace shimledger::inventory {

// Whole tables between two shops of one schema, whichever database each is in: columns stand in one order in
// both, as the same steps made them.

[[nodiscard]] bool isEmptyTable(ShopConnection& shop, const std::string& table);
/// Every row, with its numbers; returns how many.
std::int64_t copyTable(ShopConnection& from, ShopConnection& to, const std::string& table);
/// Copies these tables, in their order, and compares them; returns how many rows each has. Throws
/// ShopFileFault where one did not arrive as it is.
std::vector<std::int64_t> copyTables(ShopConnection& from, ShopConnection& to,
                                     const std::vector<std::string>& tables);
/// Whether both hold the same rows, value by value.
[[nodiscard]] bool sameRows(ShopConnection& one, ShopConnection& other, const std::string& table);

} // namespace shimledger::inventory
