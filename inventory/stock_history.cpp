// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/stock_history.h"

#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"

namespace shimledger::inventory {

namespace {

std::string entriesWhere(std::string_view condition) {
    return "SELECT m.movement_id, m.batch, m.utc, m.kind, p.code, b.code, m.condition, m.quantity, "
           "m.on_hand_change, "
           "m.reserved_change, o.code, j.code, w.code, m.reason, s.name, m.order_line_id, m.reverses_id, "
           "u.movement_id "
           "FROM movements m JOIN parts p ON p.part_id = m.part_id JOIN bins b ON b.bin_id = m.bin_id "
           "LEFT JOIN bins o ON o.bin_id = m.other_bin_id LEFT JOIN jobs j ON j.job_id = m.job_id "
           "LEFT JOIN parts w ON w.part_id = m.wanted_part_id LEFT JOIN suppliers s ON s.supplier_id = "
           "m.supplier_id "
           "LEFT JOIN movements u ON u.reverses_id = m.movement_id WHERE " +
           std::string(condition) + " ORDER BY m.movement_id";
}

LedgerEntry readEntry(const Query& row) {
    LedgerEntry entry;
    entry.number = row.integer(0);
    entry.batch = row.integer(1);
    entry.utc = row.utc(2);
    entry.kind = parseMovementKind(row.text(3));
    entry.part = row.text(4);
    entry.bin = row.text(5);
    entry.condition = conditionOf(row.integer(6));
    entry.quantity = row.integer(7);
    entry.on_hand_change = row.integer(8);
    entry.reserved_change = row.integer(9);
    entry.other_bin = row.textOrEmpty(10);
    entry.job = row.textOrEmpty(11);
    entry.wanted_part = row.textOrEmpty(12);
    entry.reason = row.text(13);
    entry.supplier = row.textOrEmpty(14);
    entry.order_line = row.optionalInteger(15);
    entry.reverses = row.optionalInteger(16);
    entry.reversed_by = row.optionalInteger(17);
    return entry;
}

std::vector<LedgerEntry> readAll(Query& query) {
    std::vector<LedgerEntry> entries;
    while (query.next()) entries.push_back(readEntry(query));
    return entries;
}

} // namespace

std::vector<LedgerEntry> StockHistory::ofPart(std::string_view part) const {
    static const std::string sql = entriesWhere("m.part_id = ?1");
    ShopConnection& connection = m_shop.connection();
    Query query(connection, sql, partId(connection, part));
    return readAll(query);
}

std::vector<LedgerEntry> StockHistory::ofBin(std::string_view bin) const {
    static const std::string sql = entriesWhere("m.bin_id = ?1");
    ShopConnection& connection = m_shop.connection();
    Query query(connection, sql, binId(connection, bin));
    return readAll(query);
}

std::vector<LedgerEntry> StockHistory::ofJob(std::string_view job) const {
    static const std::string sql = entriesWhere("m.job_id = ?1");
    ShopConnection& connection = m_shop.connection();
    Query query(connection, sql, jobId(connection, job));
    return readAll(query);
}

std::vector<LedgerEntry> StockHistory::ofBatch(std::int64_t batch) const {
    // A batch lies together: read from its first movement on, and stop at the first of another.
    static const std::string sql = entriesWhere("m.movement_id >= ?1");
    std::vector<LedgerEntry> entries;
    Query query(m_shop.connection(), sql, batch);
    while (query.next() && query.integer(1) == batch) entries.push_back(readEntry(query));
    return entries;
}

std::optional<LedgerEntry> StockHistory::movement(std::int64_t number) const {
    static const std::string sql = entriesWhere("m.movement_id = ?1");
    Query query(m_shop.connection(), sql, number);
    if (!query.next()) return std::nullopt;
    return readEntry(query);
}

std::vector<LedgerEntry> StockHistory::between(UtcTime from, UtcTime until) const {
    static const std::string sql = entriesWhere("m.utc >= ?1 AND m.utc < ?2");
    Query query(m_shop.connection(), sql, from, until);
    return readAll(query);
}

void StockHistory::forEach(const std::function<void(const LedgerEntry&)>& visit) const {
    static const std::string sql = entriesWhere("TRUE");
    Query query(m_shop.connection(), sql);
    while (query.next()) visit(readEntry(query));
}

std::vector<DailyDemand> StockHistory::demand(CalendarDate from, CalendarDate until,
                                              DemandBasis basis) const {
    std::vector<DailyDemand> days;
    Query query(
        m_shop.connection(),
        "SELECT substr(m.utc, 1, 10) AS day, p.code, sum(m.quantity) FROM movements m "
        "JOIN parts p ON p.part_id = CASE WHEN ?3 = 1 THEN coalesce(m.wanted_part_id, m.part_id) ELSE "
        "m.part_id END "
        "WHERE m.utc >= ?1 AND m.utc < ?2 AND m.kind = 'issue' "
        "AND NOT EXISTS (SELECT 1 FROM movements u WHERE u.reverses_id = m.movement_id) "
        "GROUP BY day, p.part_id ORDER BY day, p.code",
        UtcTime::startOf(from), UtcTime::startOf(until), basis == DemandBasis::wanted ? 1 : 0);
    while (query.next()) days.push_back({query.date(0), query.text(1), query.integer(2)});
    return days;
}

std::vector<DailyDemand> StockHistory::freshReturns(CalendarDate from, CalendarDate until) const {
    std::vector<DailyDemand> days;
    Query query(m_shop.connection(),
                "SELECT substr(m.utc, 1, 10) AS day, p.code, sum(m.quantity) FROM movements m "
                "JOIN parts p USING (part_id) WHERE m.utc >= ?1 AND m.utc < ?2 AND m.kind = 'return' "
                "AND m.condition = 0 "
                "AND NOT EXISTS (SELECT 1 FROM movements u WHERE u.reverses_id = m.movement_id) "
                "GROUP BY day, p.part_id ORDER BY day, p.code",
                UtcTime::startOf(from), UtcTime::startOf(until));
    while (query.next()) days.push_back({query.date(0), query.text(1), query.integer(2)});
    return days;
}

std::vector<Substitution> StockHistory::substitutions(CalendarDate from, CalendarDate until) const {
    std::vector<Substitution> found;
    Query query(
        m_shop.connection(),
        "SELECT substr(m.utc, 1, 10) AS day, j.code, w.code, p.code, sum(m.quantity) FROM movements m "
        "JOIN parts p ON p.part_id = m.part_id JOIN parts w ON w.part_id = m.wanted_part_id "
        "LEFT JOIN jobs j ON j.job_id = m.job_id "
        "WHERE m.utc >= ?1 AND m.utc < ?2 AND m.kind = 'issue' "
        "AND NOT EXISTS (SELECT 1 FROM movements u WHERE u.reverses_id = m.movement_id) "
        "GROUP BY day, w.part_id, j.job_id, p.part_id ORDER BY day, w.code, j.code NULLS FIRST, p.code",
        UtcTime::startOf(from), UtcTime::startOf(until));
    while (query.next()) {
        found.push_back(
            {query.date(0), query.textOrEmpty(1), query.text(2), query.text(3), query.integer(4)});
    }
    return found;
}

std::vector<LostToCount> StockHistory::lostToCounts(std::string_view of_job) const {
    ShopConnection& connection = m_shop.connection();
    std::optional<std::int64_t> one;
    if (!of_job.empty()) one = jobId(connection, of_job);
    // A release by a count stands right before the count of its lot, in the same batch. The cross join keeps
    // SQLite from looking through the whole ledger: few jobs are alive.
    Query query(
        connection,
        "SELECT j.code, p.code, b.code, r.condition, r.quantity, substr(r.utc, 1, 10), r.kind, "
        "r.reserved_change, EXISTS (SELECT 1 FROM movements u WHERE u.reverses_id = r.movement_id), "
        "CASE WHEN r.kind = 'release' THEN (SELECT c.kind = 'count' AND c.batch = r.batch "
        "AND c.part_id = r.part_id AND c.bin_id = r.bin_id AND c.condition = r.condition FROM movements c "
        "WHERE c.movement_id > r.movement_id AND c.kind <> 'release' ORDER BY c.movement_id LIMIT 1) END "
        "FROM jobs j CROSS JOIN movements r JOIN parts p ON p.part_id = r.part_id "
        "JOIN bins b ON b.bin_id = r.bin_id WHERE r.job_id = j.job_id AND j.status IN ('open', 'reserved', "
        "'pulled') "
        "AND (?1 IS NULL OR j.job_id = ?1) AND r.reserved_change <> 0 ORDER BY j.code, r.movement_id",
        one);
    std::vector<LostToCount> lost;
    std::string job;
    std::int64_t reserved = 0;
    const auto made_good = [&] { std::erase_if(lost, [&](const auto& loss) { return loss.job == job; }); };
    while (query.next()) {
        if (query.text(0) != job) {
            job = query.text(0);
            reserved = 0;
        }
        reserved += query.integer(7);
        const bool undone = query.integer(8) != 0;
        const MovementKind kind = parseMovementKind(query.text(6));
        const bool by_count = query.optionalInteger(9).value_or(0) != 0;
        if (by_count && !undone) {
            lost.push_back({job, query.text(1), query.text(2), conditionOf(query.integer(3)),
                            query.integer(4), query.date(5)});
        } else if (!undone && (kind == MovementKind::reserve ||
                               (kind == MovementKind::release && !by_count && reserved == 0))) {
            made_good();
        }
    }
    return lost;
}

std::vector<FirstMovement> StockHistory::firstMovements() const {
    std::vector<FirstMovement> found;
    Query query(m_shop.connection(), "SELECT p.code, substr(min(m.utc), 1, 10) FROM movements m "
                                     "JOIN parts p USING (part_id) GROUP BY p.part_id ORDER BY p.code");
    while (query.next()) found.push_back({query.text(0), query.date(1)});
    return found;
}

} // namespace shimledger::inventory
