// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/calendar.h"
#include "inventory/part.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

/// The words of the ledger. What each does to a lot (one part, in one bin, in one condition):
enum class MovementKind {
    receipt,  ///< on hand + quantity (delivery, or opening stock)
    reserve,  ///< reserved + quantity, for a job; needs as much available
    release,  ///< reserved - quantity, out of the job's own reservation
    issue,    ///< on hand - quantity; with a job: first out of its own reservation, the rest out of available
    returned, ///< on hand + quantity ("return"): back from a job, which must have had it
    scrap,    ///< on hand - quantity; needs as much available
    count, ///< on hand becomes quantity; what is reserved beyond it is released first, see StockLedger::post
    move,  ///< from bin to to_bin; needs as much available
    reversal ///< undoes one earlier movement, once; posted by StockLedger::reverse
};

/// One movement to post. Quantities are whole and 1 or more (a count may be 0).
struct MovementLine {
    MovementKind kind = MovementKind::receipt;
    std::string part;
    std::string bin;
    Condition condition = Condition::fresh;
    std::int64_t quantity = 0;
    std::string to_bin;      ///< move only
    std::string job;         ///< needed by reserve and release; may be given for issue and return
    std::string wanted_part; ///< reserve, release, issue: the part that this one stands in for; empty: itself
    std::string reason;
    std::string supplier;                     ///< receipt only
    std::optional<std::int64_t> order_line{}; ///< receipt only: the purchase order line it answers
};

/// What one post() wrote.
struct PostedBatch {
    std::int64_t batch = 0;                ///< lines posted together carry the same number
    std::vector<std::int64_t> movements{}; ///< their numbers, in order; a move has two (out, in)
};

/// One movement as it stands in the ledger.
struct LedgerEntry {
    std::int64_t number = 0; ///< 1, 2, 3 ... without gaps, in the order of posting
    std::int64_t batch = 0;
    UtcTime utc;
    MovementKind kind = MovementKind::receipt;
    std::string part;
    std::string bin;
    Condition condition = Condition::fresh;
    std::int64_t quantity = 0; ///< as stated by the person
    std::int64_t on_hand_change = 0;
    std::int64_t reserved_change = 0;
    std::string other_bin; ///< move: where it went or came from
    std::string job;
    std::string wanted_part; ///< empty: the part itself
    std::string reason;
    std::string supplier;
    std::optional<std::int64_t> order_line;
    std::optional<std::int64_t> reverses;    ///< reversal: the movement that it undoes
    std::optional<std::int64_t> reversed_by; ///< the movement that undid this one
};

[[nodiscard]] std::string_view movementKindName(MovementKind kind); ///< "receipt", ..., "return", ...
[[nodiscard]] MovementKind parseMovementKind(std::string_view text);

} // namespace shimledger::inventory
