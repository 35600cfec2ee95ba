// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/inventory_error.h"
#include "inventory/shop_file.h"
#include "inventory/stock_movement.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

/// What a plan takes from one drawer for a job.
struct ReservationLine {
    std::string part;
    std::string bin;
    Condition condition = Condition::fresh;
    std::int64_t quantity = 0;
    std::string wanted_part{}; ///< the target's part, where this one is a substitute; empty: itself
};

/// What is still promised to a job out of one lot.
struct Reservation {
    std::string job;
    std::string part;
    std::string bin;
    Condition condition = Condition::fresh;
    std::string wanted_part; ///< empty: the part itself
    std::int64_t quantity = 0;

    bool operator==(const Reservation&) const = default;
};

/// The line that gives it back (release) or takes it out (issue).
[[nodiscard]] MovementLine movementOf(const Reservation& held, MovementKind kind, std::string_view reason);

/// The only door through which stock changes. Each call is one transaction: all of its lines are posted, or
/// none. A line that the drawers or the job do not allow raises StockRefusal; a line that makes no sense
/// (unknown part, bin or job, quantity 0, a job that has ended) raises InputError. Available (on hand -
/// reserved) never falls below zero, whatever other programs do at the same time. The ShopFile must outlive
/// it.
class StockLedger {
public:
    explicit StockLedger(ShopFile& shop) : m_shop(shop) {}

    /// Posts the lines in order. Without a time they carry the shop file's clock. A count that finds less
    /// than is reserved releases the rest in the same batch, see lostByCount().
    PostedBatch post(const std::vector<MovementLine>& lines, std::optional<UtcTime> utc = {});

    /// Promises the lines to the job. With `planned_at`, the revision of the snapshot that the plan was made
    /// from, a drawer that cannot give its line any more raises StockChanged; whatever else was posted since
    /// does not matter.
    PostedBatch reserve(std::string_view job, const std::vector<ReservationLine>& lines,
                        std::optional<std::int64_t> planned_at = {});
    /// Gives back everything still promised to the job; an empty batch (number 0) when there is nothing.
    PostedBatch releaseAll(std::string_view job, std::string_view reason);
    /// Issues everything still promised to the job: the pick list has been pulled. Refuses when nothing is.
    PostedBatch pullAll(std::string_view job, std::string_view reason = "pulled");

    /// Undoes one movement by its reverse (a move: both its halves). Refuses: unknown, undone before, itself
    /// a reversal, or the drawers no longer allow it.
    PostedBatch reverse(std::int64_t movement, std::string_view reason);
    /// Undoes everything of one batch that is not undone yet, last line first.
    PostedBatch reverseBatch(std::int64_t batch, std::string_view reason);

    /// What jobs would lose if the lot were counted to hold `counted`: the least urgent job loses first, of
    /// those alike the one that is due last (one without a day is due after all others), then the one that
    /// was reserved last. Quantities are those lost.
    [[nodiscard]] std::vector<Reservation> lostByCount(std::string_view part, std::string_view bin,
                                                       Condition condition, std::int64_t counted) const;
    [[nodiscard]] std::vector<Reservation> reservationsOf(std::string_view job) const; ///< in walking order
    [[nodiscard]] std::vector<Reservation> reservations() const; ///< of all jobs, by job, in walking order
    [[nodiscard]] std::int64_t revision() const; ///< number of the last movement, 0 in an empty ledger

private:
    ShopFile& m_shop;
};

} // namespace shimledger::inventory
