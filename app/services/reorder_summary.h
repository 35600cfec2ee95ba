// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/reorder.h"
#include "inventory/money.h"
#include "inventory/shop_file.h"

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::services {

/// A part with more in the drawers than it needs. Values are hundredths of `currency`.
struct IdleStock {
    std::string part;
    std::string what;
    std::int64_t on_hand = 0;
    std::int64_t beyond = 0;         ///< dead stock: all; overstock: beyond what the class's cover would use
    inventory::Hundredths value = 0; ///< of `beyond`
    std::string currency;            ///< empty: no price is known
    std::optional<inventory::CalendarDate> last_asked; ///< none: never
};

/// A part that ran out in the period.
struct StockOut {
    std::string part;
    std::string what;
    int times = 0;
    int days = 0;               ///< with nothing on hand
    std::int64_t stand_ins = 0; ///< pieces of other parts used in its place
    inventory::Hundredths cost =
        0;                ///< of those, beyond what as many pieces of the part itself cost; may be below 0
    std::string currency; ///< empty: no price is known
};

struct ReorderSummary {
    inventory::CalendarDate from, until; ///< the period of the stock-outs: the twelve months up to today
    std::map<std::string, inventory::Hundredths> value_on_hand; ///< by currency, at last prices
    int without_price = 0;                                      ///< parts on hand that no price is known of
    std::vector<IdleStock> dead;      ///< nothing asked for in the class's dead months; the dearest first
    std::vector<IdleStock> overstock; ///< the dearest first
    std::vector<StockOut>
        stock_outs; ///< the longest first; days without the part on hand though it had been stocked
};

[[nodiscard]] ReorderSummary reorderSummary(inventory::ShopFile& shop);

} // namespace shimledger::services
