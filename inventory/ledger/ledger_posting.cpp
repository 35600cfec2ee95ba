// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/ledger/ledger_posting.h"

#include "inventory/ledger/job_status.h"
#include "inventory/ledger/ledger_chain.h"
#include "inventory/ledger/line_context.h"
#include "inventory/ledger/movement_rules.h"
#include "inventory/storage/query.h"

namespace shimledger::inventory {

namespace {

// Both halves of a move are undone together, the half that took out first.
std::int64_t firstHalf(ShopConnection& connection, std::int64_t movement) {
    Query query(connection,
                "SELECT moved_from_id FROM movements WHERE movement_id = ?1 AND moved_from_id IS NOT NULL",
                movement);
    return query.next() ? query.integer(0) : movement;
}

std::optional<std::int64_t> secondHalf(ShopConnection& connection, std::int64_t movement) {
    // The second half is always written right after the first.
    Query query(connection,
                "SELECT movement_id FROM movements WHERE movement_id = ?1 + 1 AND moved_from_id = ?1",
                movement);
    if (!query.next()) return std::nullopt;
    return query.integer(0);
}

} // namespace

void refreshJobStatus(ShopConnection& connection, std::int64_t job) {
    Query(connection,
          "UPDATE jobs SET status = CASE "
          "WHEN EXISTS (SELECT 1 FROM reservations r WHERE r.job_id = ?1) THEN 'reserved' "
          "WHEN EXISTS (SELECT 1 FROM movements m WHERE m.job_id = ?1 AND m.kind = 'issue' AND NOT EXISTS "
          "(SELECT 1 FROM movements u WHERE u.reverses_id = m.movement_id)) THEN 'pulled' "
          "ELSE 'open' END WHERE job_id = ?1 AND status IN ('open', 'reserved', 'pulled')",
          job)
        .run();
}

LedgerPosting::LedgerPosting(ShopConnection& connection, UtcTime utc)
    : m_connection(connection), m_writer(connection, utc) {}

std::int64_t LedgerPosting::post(const MovementLine& line) {
    const LineContext context = resolveLine(m_connection, line, &m_memory);
    if (context.job) m_jobs.insert(*context.job);
    std::int64_t posted = 0;
    for (MovementRow& row : effectsOf(m_connection, context)) {
        const bool second_half = row.kind == MovementKind::move && posted != 0;
        if (second_half) row.moved_from = posted;
        if (row.job) m_jobs.insert(*row.job); // a count takes from whom it does not name
        const std::int64_t number = m_writer.append(row);
        if (!second_half) posted = number;
    }
    // These two have asked whether the job lives.
    if (line.kind == MovementKind::reserve || (line.kind == MovementKind::issue && context.job))
        m_memory.job_is_alive = true;
    return posted;
}

std::int64_t LedgerPosting::reverse(std::int64_t movement, std::string_view reason) {
    const std::int64_t first = firstHalf(m_connection, movement);
    const std::int64_t number = reverseOne(first, reason);
    if (const auto second = secondHalf(m_connection, first)) reverseOne(*second, reason);
    return number;
}

std::int64_t LedgerPosting::reverseOne(std::int64_t movement, std::string_view reason) {
    const MovementRow row = effectOfReversal(m_connection, movement, reason);
    if (row.job) m_jobs.insert(*row.job);
    return m_writer.append(row);
}

void LedgerPosting::remember(const std::string& part, std::int64_t part_id, const std::string& bin,
                             std::int64_t bin_id) {
    m_memory.parts.emplace(part, part_id);
    m_memory.bins.emplace(bin, bin_id);
}

PostedBatch LedgerPosting::finish() {
    for (const std::int64_t job : m_jobs) refreshJobStatus(m_connection, job);
    if (m_writer.batch().batch != 0) sealBatch(m_connection, m_writer.batch().batch);
    return m_writer.batch();
}

} // namespace shimledger::inventory
