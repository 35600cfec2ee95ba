// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/calendar.h"
#include "inventory/money.h"
#include "inventory/shop_file.h"

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

struct OrderLine {
    std::int64_t number = 0; ///< given by the shop file; name it in a receipt
    std::string part;
    std::int64_t packs = 0;     ///< 1 or more
    std::int64_t pack_size = 1; ///< 1 or more
    Hundredths pack_price = 0;
    std::int64_t received = 0; ///< pieces, from the ledger; ignored by place()

    [[nodiscard]] std::int64_t ordered() const { return packs * pack_size; }
};

struct PurchaseOrder {
    std::string code; ///< unique; same rules as a part code
    std::string supplier;
    UtcTime ordered;
    bool closed = false; ///< nothing more is expected, even if less came than was ordered
    std::string note;
    std::vector<OrderLine> lines;
};

/// What has been ordered and not yet come. Receipts are posted through StockLedger with the line's number.
class PurchaseOrders {
public:
    explicit PurchaseOrders(ShopFile& shop) : m_shop(shop) {}

    /// Returns the order as stored, with line numbers. Throws InputError: code taken, unknown supplier or
    /// part, no lines, packs below 1.
    PurchaseOrder place(const PurchaseOrder& order);
    void close(std::string_view code); ///< throws InputError when unknown or closed already
    [[nodiscard]] std::optional<PurchaseOrder> find(std::string_view code) const;
    [[nodiscard]] std::vector<PurchaseOrder> list() const; ///< in the order in which they were placed
    /// Part code -> quantity still expected of open orders; parts without any are left out.
    [[nodiscard]] std::map<std::string, std::int64_t> onOrder() const;

private:
    ShopFile& m_shop;
};

} // namespace shimledger::inventory
