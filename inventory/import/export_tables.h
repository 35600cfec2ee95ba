// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/shop_file.h"

#include <ostream>
#include <span>
#include <string_view>

namespace shimledger::inventory {

/// One file of the export; the counterpart of ImportTable.
struct ExportTable {
    std::string_view file;
    void (*write)(ShopFile&, std::ostream&);
};
void writeStripRows(ShopFile& shop, std::ostream& out);
void writeWearFindings(ShopFile& shop, std::ostream& out);

[[nodiscard]] std::span<const ExportTable> exportTables();

} // namespace shimledger::inventory
