// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/shop_file.h"
#include "inventory/stock_movement.h"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// A line of an open order that is still expected.
struct ExpectedLine {
    std::string order;
    std::string supplier;
    std::int64_t order_line = 0;
    std::string part;
    std::string what;
    std::int64_t ordered = 0;
    std::int64_t received = 0;
    std::string bin; ///< where the part lies new, the first in walking order; empty: nowhere yet

    [[nodiscard]] std::int64_t expected() const { return ordered > received ? ordered - received : 0; }
};

/// Of one order, or of all open ones (empty code). Throws InputError when there is no such order.
[[nodiscard]] std::vector<ExpectedLine> expectedLines(inventory::ShopFile& shop, std::string_view order = {});

struct ReceivedLine {
    std::int64_t order_line = 0;
    std::int64_t quantity = 0; ///< pieces, mm or ml: a part of what is expected, or all of it
    std::string bin;           ///< as typed or scanned
};
struct Delivery {
    inventory::PostedBatch batch;
    std::int64_t lines_open = 0; ///< of the order: still expected, in full or in part
    bool closed = false;
};

/// Books a delivery against an order, in one transaction. `close` ends the order even if something is
/// missing; an order that has come in full is closed by itself. Throws InputError: no such order, closed
/// already, a line of another order, nothing or more than is expected, an unknown bin.
Delivery receiveOrder(inventory::ShopFile& shop, std::string_view order,
                      const std::vector<ReceivedLine>& lines, bool close = false);

} // namespace shimledger::services
