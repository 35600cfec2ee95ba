// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/ledger/line_context.h"
#include "inventory/ledger/movement_writer.h"
#include "inventory/stock_movement.h"
#include "inventory/storage/shop_connection.h"

#include <cstdint>
#include <set>
#include <string>
#include <string_view>

namespace shimledger::inventory {

/// One batch in the making: each line is checked against the rules of the ledger as it stands after the lines
/// before, then written. Needs an open write transaction, which the caller rolls back when a line throws.
class LedgerPosting {
public:
    LedgerPosting(ShopConnection& connection, UtcTime utc);

    /// Throws StockRefusal or InputError as said in stock_ledger.h. Returns the movement's number (of a move:
    /// the first half's; of a count: its own, not that of what it releases).
    std::int64_t post(const MovementLine& line);
    /// Undoes one movement (of a move: both halves); throws as above.
    std::int64_t reverse(std::int64_t movement, std::string_view reason);
    /// Row numbers that the caller has read in this transaction: they need not be looked up again.
    void remember(const std::string& part, std::int64_t part_id, const std::string& bin, std::int64_t bin_id);
    /// To be called once, last: brings the status of the jobs concerned up to date and stores the batch's
    /// checksum.
    PostedBatch finish();

private:
    std::int64_t reverseOne(std::int64_t movement, std::string_view reason);

    ShopConnection& m_connection;
    MovementWriter m_writer;
    BatchMemory m_memory;
    std::set<std::int64_t> m_jobs; // touched by the batch
};

} // namespace shimledger::inventory
