// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/ledger/movement_writer.h"

#include "inventory/storage/query.h"

namespace shimledger::inventory {

namespace {

std::int64_t nextNumber(ShopConnection& connection) {
    Query query(connection, "SELECT coalesce(max(movement_id), 0) + 1 FROM movements");
    query.mustRow();
    return query.integer(0);
}

// The row is there in all but the first movement of a lot, so it is changed first and added only if it was
// not. (An upsert would hold the change itself against the table's checks, which a negative one breaks.)
void changeBalance(ShopConnection& connection, const MovementRow& row) {
    Query change(connection,
                 "UPDATE balances SET on_hand = on_hand + ?4, reserved = reserved + ?5 "
                 "WHERE part_id = ?1 AND bin_id = ?2 AND condition = ?3",
                 row.lot.part, row.lot.bin, row.lot.condition, row.on_hand_change, row.reserved_change);
    if (change.runCounting() > 0) return;
    Query(connection,
          "INSERT INTO balances (part_id, bin_id, condition, on_hand, reserved) VALUES (?1, ?2, ?3, ?4, ?5)",
          row.lot.part, row.lot.bin, row.lot.condition, row.on_hand_change, row.reserved_change)
        .run();
}

// A reservation that comes to nothing is a row that goes: asked first, as most pulls take all of one.
void changeReservation(ShopConnection& connection, const MovementRow& row) {
    const std::int64_t wanted = row.wanted_part.value_or(row.lot.part);
    if (row.reserved_change < 0) {
        Query gone(
            connection,
            "DELETE FROM reservations WHERE job_id = ?1 AND part_id = ?2 AND bin_id = ?3 AND condition = ?4 "
            "AND wanted_part_id = ?5 AND quantity = ?6",
            *row.job, row.lot.part, row.lot.bin, row.lot.condition, wanted, -row.reserved_change);
        if (gone.runCounting() > 0) return;
    }
    Query change(
        connection,
        "UPDATE reservations SET quantity = quantity + ?6 WHERE job_id = ?1 AND part_id = ?2 AND bin_id = ?3 "
        "AND condition = ?4 AND wanted_part_id = ?5",
        *row.job, row.lot.part, row.lot.bin, row.lot.condition, wanted, row.reserved_change);
    if (change.runCounting() > 0) return;
    Query(connection,
          "INSERT INTO reservations (job_id, part_id, bin_id, condition, wanted_part_id, quantity) "
          "VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
          *row.job, row.lot.part, row.lot.bin, row.lot.condition, wanted, row.reserved_change)
        .run();
}

} // namespace

LotBalance balanceOf(ShopConnection& connection, const LotKey& lot) {
    Query query(
        connection,
        "SELECT on_hand, reserved FROM balances WHERE part_id = ?1 AND bin_id = ?2 AND condition = ?3",
        lot.part, lot.bin, lot.condition);
    if (!query.next()) return {};
    return {query.integer(0), query.integer(1)};
}

HeldBalance balanceHeldFor(ShopConnection& connection, std::int64_t job, const LotKey& lot,
                           std::int64_t wanted_part) {
    Query query(connection,
                "SELECT b.on_hand, b.reserved, r.quantity FROM balances b LEFT JOIN reservations r ON "
                "r.job_id = ?4 AND r.part_id = b.part_id AND r.bin_id = b.bin_id "
                "AND r.condition = b.condition AND r.wanted_part_id = ?5 "
                "WHERE b.part_id = ?1 AND b.bin_id = ?2 AND b.condition = ?3",
                lot.part, lot.bin, lot.condition, job, wanted_part);
    if (!query.next()) return {};
    return {{query.integer(0), query.integer(1)}, query.optionalInteger(2).value_or(0)};
}

std::int64_t reservedFor(ShopConnection& connection, std::int64_t job, const LotKey& lot,
                         std::int64_t wanted_part) {
    Query query(connection,
                "SELECT quantity FROM reservations WHERE job_id = ?1 AND part_id = ?2 AND bin_id = ?3 "
                "AND condition = ?4 AND wanted_part_id = ?5",
                job, lot.part, lot.bin, lot.condition, wanted_part);
    return query.next() ? query.integer(0) : 0;
}

MovementWriter::MovementWriter(ShopConnection& connection, UtcTime utc)
    : m_connection(connection), m_utc(utc.text()), m_next(nextNumber(connection)) {}

std::int64_t MovementWriter::append(const MovementRow& row) {
    const std::int64_t number = m_next++;
    if (m_batch.batch == 0) m_batch.batch = number; // a batch is called after its first movement
    Query(
        m_connection,
        "INSERT INTO movements (movement_id, batch, utc, kind, part_id, bin_id, condition, quantity, "
        "on_hand_change, reserved_change, other_bin_id, moved_from_id, job_id, wanted_part_id, supplier_id, "
        "order_line_id, reverses_id, reason) "
        "VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17, ?18)",
        number, m_batch.batch, m_utc, movementKindName(row.kind), row.lot.part, row.lot.bin,
        row.lot.condition, row.quantity, row.on_hand_change, row.reserved_change, row.other_bin,
        row.moved_from, row.job, row.wanted_part, row.supplier, row.order_line, row.reverses, row.reason)
        .run();
    changeBalance(m_connection, row);
    if (row.job && row.reserved_change != 0) changeReservation(m_connection, row);
    m_batch.movements.push_back(number);
    return number;
}

} // namespace shimledger::inventory
