// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/stock_ledger.h"

#include "inventory/ledger/count_loss.h"
#include "inventory/ledger/ledger_posting.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/transaction.h"

namespace shimledger::inventory {

namespace {

constexpr std::string_view all_reservations =
    "SELECT j.code, p.code, b.code, r.condition, w.code, r.quantity, r.part_id, r.bin_id FROM reservations r "
    "JOIN jobs j USING "
    "(job_id) "
    "JOIN parts p ON p.part_id = r.part_id JOIN bins b USING (bin_id) JOIN parts w ON w.part_id = "
    "r.wanted_part_id "
    "WHERE ?1 IS NULL OR r.job_id = ?1 ORDER BY j.code, b.walking_order, b.code, p.code, r.condition, w.code";

std::vector<Reservation> readReservations(ShopConnection& connection, std::optional<std::int64_t> job,
                                          LedgerPosting* posting = nullptr) {
    std::vector<Reservation> reservations;
    Query query(connection, all_reservations, job);
    while (query.next()) {
        Reservation reservation{query.text(0), query.text(1),   query.text(2), conditionOf(query.integer(3)),
                                query.text(4), query.integer(5)};
        if (reservation.wanted_part == reservation.part) reservation.wanted_part.clear();
        if (posting != nullptr)
            posting->remember(reservation.part, query.integer(6), reservation.bin, query.integer(7));
        reservations.push_back(std::move(reservation));
    }
    return reservations;
}

std::int64_t lastNumber(ShopConnection& connection) {
    Query query(connection, "SELECT coalesce(max(movement_id), 0) FROM movements");
    query.mustRow();
    return query.integer(0);
}

// What is still reserved, as lines that give it back or take it out.
std::vector<MovementLine> linesFor(MovementKind kind, const std::vector<Reservation>& reservations,
                                   std::string_view reason) {
    std::vector<MovementLine> lines;
    lines.reserve(reservations.size());
    for (const Reservation& held : reservations) {
        lines.push_back(movementOf(held, kind, reason));
    }
    return lines;
}

} // namespace

MovementLine movementOf(const Reservation& held, MovementKind kind, std::string_view reason) {
    MovementLine line;
    line.kind = kind;
    line.part = held.part;
    line.bin = held.bin;
    line.condition = held.condition;
    line.quantity = held.quantity;
    line.job = held.job;
    line.wanted_part = held.wanted_part;
    line.reason = reason;
    return line;
}

PostedBatch StockLedger::post(const std::vector<MovementLine>& lines, std::optional<UtcTime> utc) {
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    LedgerPosting posting(connection, utc.value_or(m_shop.now()));
    for (const MovementLine& line : lines) posting.post(line);
    PostedBatch batch = posting.finish();
    transaction.commit();
    return batch;
}

PostedBatch StockLedger::reserve(std::string_view job, const std::vector<ReservationLine>& lines,
                                 std::optional<std::int64_t> planned_at) {
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    std::vector<MovementLine> movements;
    for (const ReservationLine& line : lines) {
        MovementLine movement;
        movement.kind = MovementKind::reserve;
        movement.part = line.part;
        movement.bin = line.bin;
        movement.condition = line.condition;
        movement.quantity = line.quantity;
        movement.wanted_part = line.wanted_part;
        movement.job = job;
        movements.push_back(std::move(movement));
    }
    const bool stale = planned_at && *planned_at != lastNumber(connection);
    PostedBatch batch;
    try {
        batch = post(movements);
    } catch (const StockRefusal& refusal) {
        if (!stale) throw;
        throw StockChanged("the drawers have changed since the plan for job " + inQuotes(job) +
                           " was made: " + refusal.what());
    }
    transaction.commit();
    return batch;
}

PostedBatch StockLedger::releaseAll(std::string_view job, std::string_view reason) {
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    PostedBatch batch = post(linesFor(MovementKind::release, reservationsOf(job), reason));
    transaction.commit();
    return batch;
}

PostedBatch StockLedger::pullAll(std::string_view job, std::string_view reason) {
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    LedgerPosting posting(connection, m_shop.now());
    const std::vector<MovementLine> lines =
        linesFor(MovementKind::issue, readReservations(connection, jobId(connection, job), &posting), reason);
    if (lines.empty())
        throw InputError("nothing is reserved for job " + inQuotes(job) + ": reserve its plan first");
    for (const MovementLine& line : lines) posting.post(line);
    PostedBatch batch = posting.finish();
    transaction.commit();
    return batch;
}

PostedBatch StockLedger::reverse(std::int64_t movement, std::string_view reason) {
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    LedgerPosting posting(connection, m_shop.now());
    posting.reverse(movement, reason);
    PostedBatch batch = posting.finish();
    transaction.commit();
    return batch;
}

PostedBatch StockLedger::reverseBatch(std::int64_t batch, std::string_view reason) {
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    std::vector<std::int64_t> movements;
    {
        // A batch lies together, so its end is the first later movement of another batch.
        Query query(
            connection,
            "SELECT m.movement_id FROM movements m WHERE m.movement_id >= ?1 AND m.batch = ?1 "
            "AND m.movement_id < coalesce((SELECT n.movement_id FROM movements n WHERE n.movement_id > ?1 "
            "AND "
            "+n.batch <> ?1 ORDER BY n.movement_id LIMIT 1), 9223372036854775807) "
            "AND m.moved_from_id IS NULL AND m.kind <> 'reversal' AND NOT EXISTS "
            "(SELECT 1 FROM movements u WHERE u.reverses_id = m.movement_id) ORDER BY m.movement_id DESC",
            batch);
        while (query.next()) movements.push_back(query.integer(0));
    }
    if (movements.empty()) {
        throw InputError("there is nothing left to undo in batch " + std::to_string(batch) +
                         " of the ledger");
    }
    LedgerPosting posting(connection, m_shop.now());
    for (const std::int64_t movement : movements) posting.reverse(movement, reason);
    PostedBatch undone = posting.finish();
    transaction.commit();
    return undone;
}

std::vector<Reservation> StockLedger::lostByCount(std::string_view part, std::string_view bin,
                                                  Condition condition, std::int64_t counted) const {
    ShopConnection& connection = m_shop.connection();
    const LotKey lot{partId(connection, part), binId(connection, bin), conditionNumber(condition)};
    std::vector<Reservation> lost;
    for (const CountLoss& loss : lossesByCount(connection, lot, counted)) {
        lost.push_back({loss.job_code, std::string(part), std::string(bin), condition,
                        loss.wanted_code == part ? std::string() : loss.wanted_code, loss.quantity});
    }
    return lost;
}

std::vector<Reservation> StockLedger::reservationsOf(std::string_view job) const {
    ShopConnection& connection = m_shop.connection();
    return readReservations(connection, jobId(connection, job));
}

std::vector<Reservation> StockLedger::reservations() const {
    return readReservations(m_shop.connection(), std::nullopt);
}

std::int64_t StockLedger::revision() const {
    return lastNumber(m_shop.connection());
}

} // namespace shimledger::inventory
