#pragma once

#include "inventory/calendar.h"
#include "inventory/shop_file.h"
#include "inventory/supplier.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::services {

/// One part to buy.
struct ReorderLine {
    std::string part;
    std::string what; ///< "shim 24.0 x 6.0 x 0.10"
    std::string unit; ///< "piece", "mm", "ml"
    std::int64_t on_hand = 0;
    std::int64_t reserved = 0;
    std::int64_t on_order = 0;
    std::optional<std::int64_t> reorder_point;
    std::int64_t short_for_jobs = 0; ///< what open jobs want and the drawers cannot give
    std::int64_t wanted = 0;         ///< before rounding up to packs
    std::string supplier_code;
    std::int64_t pack_size = 1;
    std::int64_t packs = 0;
    inventory::Hundredths pack_price = 0;
    std::optional<inventory::CalendarDate> priced_on;
    std::optional<int> shelf_life_months;
    std::string reason; ///< "available 2, reserved 4, reorder point 6, pack of 10"

    [[nodiscard]] std::int64_t available() const { return on_hand - reserved; }
    [[nodiscard]] std::int64_t pieces() const { return packs * pack_size; }
    [[nodiscard]] inventory::Hundredths total() const { return packs * pack_price; }
};

/// What to buy from one supplier.
struct SupplierOrder {
    inventory::Supplier supplier;
    std::vector<ReorderLine> lines; ///< by part code

    [[nodiscard]] inventory::Hundredths total() const; ///< of the parts, in the supplier's currency
    [[nodiscard]] bool belowMinimum() const;
};

struct ReorderPlan {
    inventory::UtcTime made;
    std::int64_t revision = 0;
    std::vector<SupplierOrder> orders;  ///< by supplier name; none is empty
    std::vector<ReorderLine> unoffered; ///< wanted, but nobody sells them (packs 0)
    std::vector<std::string> notes;     ///< sentences: minimum orders not reached, currencies that differ
};

/// For each part of the catalogue: wanted = what lifts available + on order to the reorder point, or to what
/// the open jobs cannot be given, whichever is more; rounded up to whole packs of the offer that costs least
/// in all for it (then the shorter lead time, then the name). Reads one state of the shop; orders nothing.
[[nodiscard]] ReorderPlan reorderPlan(inventory::ShopFile& shop);

} // namespace shimledger::services
