// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/stock_movement.h"
#include "inventory/storage/shop_connection.h"

#include <compare>
#include <cstdint>
#include <optional>
#include <string>

namespace shimledger::inventory {

/// One part, in one bin, in one condition, as row numbers.
struct LotKey {
    std::int64_t part = 0;
    std::int64_t bin = 0;
    int condition = 0;

    auto operator<=>(const LotKey&) const = default;
};

struct LotBalance {
    std::int64_t on_hand = 0;
    std::int64_t reserved = 0;
    [[nodiscard]] std::int64_t available() const { return on_hand - reserved; }
};

/// A movement with its effects worked out and allowed, ready to be written.
struct MovementRow {
    MovementKind kind = MovementKind::receipt;
    LotKey lot;
    std::int64_t quantity = 0;
    std::int64_t on_hand_change = 0;
    std::int64_t reserved_change = 0;
    std::optional<std::int64_t> other_bin{};
    std::optional<std::int64_t> moved_from{}; ///< the second half of a move: the number of the first
    std::optional<std::int64_t> job{};
    std::optional<std::int64_t> wanted_part{}; ///< none: the part itself
    std::optional<std::int64_t> supplier{};
    std::optional<std::int64_t> order_line{};
    std::optional<std::int64_t> reverses{};
    std::string reason{};
};

[[nodiscard]] LotBalance balanceOf(ShopConnection& connection, const LotKey& lot);
/// The same with what of it is reserved for the job in place of that part: one look instead of two.
struct HeldBalance {
    LotBalance balance;
    std::int64_t own = 0;
};
[[nodiscard]] HeldBalance balanceHeldFor(ShopConnection& connection, std::int64_t job, const LotKey& lot,
                                         std::int64_t wanted_part);
[[nodiscard]] std::int64_t reservedFor(ShopConnection& connection, std::int64_t job, const LotKey& lot,
                                       std::int64_t wanted_part);

/// Adds movements to the ledger and keeps balances and reservations in step; the rules were asked before (the
/// database's own checks stop the program if not). Needs an open write transaction.
class MovementWriter {
public:
    MovementWriter(ShopConnection& connection, UtcTime utc);

    std::int64_t append(const MovementRow& row); ///< returns its number
    [[nodiscard]] const PostedBatch& batch() const { return m_batch; }

private:
    ShopConnection& m_connection;
    std::string m_utc;
    std::int64_t m_next;
    PostedBatch m_batch;
};

} // namespace shimledger::inventory
