// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/reorder.h"
#include "app/services/sheet_import/raw_sheet.h"
#include "inventory/purchase_orders.h"

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// One line of a reorder sheet that came back.
struct SheetOrderLine {
    std::int64_t line = 0; ///< of the sheet, 1-based
    std::string part;
    std::int64_t packs = 0; ///< 0: dropped
    std::int64_t pack_size = 1;
    std::optional<double> pack_price; ///< as the sheet shows it
};

/// The sheet of one supplier.
struct SheetOrder {
    std::string sheet; ///< its name in the workbook
    std::string supplier;
    std::string number; ///< that was written under "Order number"; empty: none
    std::vector<SheetOrderLine> lines;
};

/// Reads a reorder sheet back, .xlsx or .ods, as any spreadsheet program saves it: lines and columns may
/// stand in any order, and lines or whole sheets may be missing. Throws InputError with every bad line, by
/// sheet and line.
[[nodiscard]] std::vector<SheetOrder> readReorderSheet(const std::filesystem::path& file);

/// A plan with its packs as the sheets have them.
struct SheetPlan {
    ReorderPlan plan;                 ///< of the suppliers of the sheets as they say; of others as it was
    std::vector<std::string> changes; ///< sentences: what differs from the plan as it was
    std::vector<std::string> notes;   ///< sentences: prices that are not the shop's, parts that are on order
};

/// What the sheets order, at the shop's own prices of today: prices that were typed over are told and not
/// taken. A line of the plan that its supplier's sheet has not is dropped, and told. Throws InputError with
/// every line that the shop does not know.
[[nodiscard]] SheetPlan applyReorderSheet(inventory::ShopFile& shop, const ReorderPlan& plan,
                                          const std::vector<SheetOrder>& sheets);

/// Places the orders of the sheets, of one supplier where one is named: all of them or none. Throws
/// InputError as applyReorderSheet, where nothing is to be ordered, and, unless it is meant `again`, where
/// just that is on order already.
std::vector<inventory::PurchaseOrder> placeReorderSheet(inventory::ShopFile& shop,
                                                        const std::vector<SheetOrder>& sheets,
                                                        std::string_view supplier = {}, bool again = false);

} // namespace shimledger::services
