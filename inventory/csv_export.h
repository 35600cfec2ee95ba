// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/shop_file.h"

#include <filesystem>
#include <iosfwd>

namespace shimledger::inventory {

/// Writes what is in the drawers as CSV (UTF-8, CRLF): kind, od_mm, id_mm, thickness_mm, measured_mm,
/// condition, bin, quantity, part, reading_spread_mm (standard deviation of the readings, where there are two
/// or more), available. `quantity` is on hand. Taken in as opening stock, the last two say nothing.
void writeStockCsv(const ShopFile& shop, std::ostream& out);
/// The same into a file; throws InputError when it exists, ShopFileFault when it cannot be written.
void exportStockCsv(const ShopFile& shop, const std::filesystem::path& file);

/// Writes everything as one CSV file per table into a folder that is new or empty (else InputError).
/// importShopFolder makes an equal shop of it: the stock is in movements.csv, the whole ledger in its own
/// order.
void exportShopFolder(ShopFile& shop, const std::filesystem::path& folder);

} // namespace shimledger::inventory
