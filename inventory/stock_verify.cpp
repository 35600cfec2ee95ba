#include "inventory/stock_verify.h"

#include "inventory/inventory_error.h"
#include "inventory/part_kinds.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/transaction.h"

namespace shimledger::inventory {

namespace {

constexpr std::size_t most_findings =
    100; // of one sort: a file in that state needs a backup, not a longer list

void compareBalances(ShopConnection& connection, VerifyReport& report) {
    Query query(connection,
                "WITH proved AS (SELECT part_id, bin_id, condition, sum(on_hand_change) AS on_hand, "
                "sum(reserved_change) AS reserved FROM movements GROUP BY part_id, bin_id, condition) "
                "SELECT p.code, b.code, condition, coalesce(s.on_hand, 0), coalesce(v.on_hand, 0), "
                "coalesce(s.reserved, 0), coalesce(v.reserved, 0) "
                "FROM balances s FULL JOIN proved v USING (part_id, bin_id, condition) "
                "LEFT JOIN parts p USING (part_id) LEFT JOIN bins b USING (bin_id) "
                "ORDER BY p.code, b.code, condition");
    while (query.next()) {
        ++report.lots;
        StockDifference found;
        found.part = query.textOrEmpty(0);
        found.bin = query.textOrEmpty(1);
        found.condition = conditionOf(query.integer(2));
        for (const int column : {3, 5}) {
            found.figure = column == 3 ? StockDifference::Figure::onHand : StockDifference::Figure::reserved;
            found.stored = query.integer(column);
            found.proved = query.integer(column + 1);
            if (found.stored != found.proved) report.differences.push_back(found);
        }
    }
}

void compareReservations(ShopConnection& connection, VerifyReport& report) {
    Query query(
        connection,
        "WITH proved AS (SELECT job_id, part_id, bin_id, condition, coalesce(wanted_part_id, part_id) AS "
        "wanted_part_id, sum(reserved_change) AS quantity FROM movements WHERE job_id IS NOT NULL "
        "GROUP BY 1, 2, 3, 4, 5 HAVING sum(reserved_change) <> 0) "
        "SELECT p.code, b.code, condition, j.code, coalesce(s.quantity, 0), coalesce(v.quantity, 0) "
        "FROM reservations s FULL JOIN proved v USING (job_id, part_id, bin_id, condition, wanted_part_id) "
        "LEFT JOIN parts p USING (part_id) LEFT JOIN bins b USING (bin_id) LEFT JOIN jobs j USING (job_id) "
        "WHERE coalesce(s.quantity, 0) <> coalesce(v.quantity, 0) ORDER BY j.code, p.code, b.code, "
        "condition");
    while (query.next()) {
        StockDifference found;
        found.figure = StockDifference::Figure::jobReservation;
        found.part = query.textOrEmpty(0);
        found.bin = query.textOrEmpty(1);
        found.condition = conditionOf(query.integer(2));
        found.job = query.textOrEmpty(3);
        found.stored = query.integer(4);
        found.proved = query.integer(5);
        report.differences.push_back(found);
    }
}

// Numbers run 1, 2, 3 ...: a gap is a movement that somebody has taken out behind the triggers.
void checkNumbers(ShopConnection& connection, VerifyReport& report) {
    Query all(connection,
              "SELECT count(*), coalesce(min(movement_id), 1), coalesce(max(movement_id), 0) FROM movements");
    all.mustRow();
    report.movements = all.integer(0);
    if (all.integer(1) == 1 && all.integer(2) == all.integer(0)) return;
    Query gaps(
        connection,
        "SELECT before + 1, movement_id - 1 FROM (SELECT movement_id, lag(movement_id, 1, 0) OVER (ORDER BY "
        "movement_id) AS before FROM movements) WHERE movement_id > before + 1 LIMIT ?1",
        static_cast<std::int64_t>(most_findings));
    while (gaps.next()) {
        const std::int64_t first = gaps.integer(0);
        const std::int64_t last = gaps.integer(1);
        report.faults.push_back(first == last
                                    ? "movement " + std::to_string(first) + " is missing from the ledger"
                                    : "movements " + std::to_string(first) + " to " + std::to_string(last) +
                                          " are missing from the ledger");
    }
}

void checkReversals(ShopConnection& connection, VerifyReport& report) {
    Query query(
        connection,
        "SELECT r.movement_id, r.reverses_id FROM movements r LEFT JOIN movements m ON m.movement_id = "
        "r.reverses_id WHERE r.reverses_id IS NOT NULL AND (m.movement_id IS NULL OR r.part_id <> m.part_id "
        "OR r.bin_id <> m.bin_id OR r.condition <> m.condition OR r.job_id IS NOT m.job_id "
        "OR r.on_hand_change <> -m.on_hand_change OR r.reserved_change <> -m.reserved_change) LIMIT ?1",
        static_cast<std::int64_t>(most_findings));
    while (query.next()) {
        report.faults.push_back("movement " + std::to_string(query.integer(0)) + " does not undo movement " +
                                std::to_string(query.integer(1)) + ", which it names");
    }
    Query halves(
        connection,
        "SELECT a.movement_id FROM movements i JOIN movements a ON a.movement_id = i.moved_from_id "
        "WHERE i.moved_from_id IS NOT NULL AND (a.part_id <> i.part_id OR a.condition <> i.condition OR "
        "a.on_hand_change <> -i.on_hand_change OR "
        "EXISTS (SELECT 1 FROM movements u WHERE u.reverses_id = a.movement_id) <> "
        "EXISTS (SELECT 1 FROM movements u WHERE u.reverses_id = i.movement_id)) LIMIT ?1",
        static_cast<std::int64_t>(most_findings));
    while (halves.next()) {
        report.faults.push_back("the two halves of move " + std::to_string(halves.integer(0)) +
                                " do not match");
    }
}

void checkFile(ShopConnection& connection, VerifyReport& report) {
    Query integrity(connection, "PRAGMA integrity_check");
    while (integrity.next()) {
        if (integrity.text(0) != "ok") report.faults.push_back("the file is damaged: " + integrity.text(0));
    }
    Query keys(connection, "PRAGMA foreign_key_check");
    for (std::size_t found = 0; found < most_findings && keys.next(); ++found) {
        report.faults.push_back("a row of " + keys.text(0) + " names a row of " + keys.text(2) +
                                " that is not there");
    }
}

} // namespace

std::string StockDifference::text() const {
    const std::string lot =
        "part " + inQuotes(part) + " (" + std::string(conditionName(condition)) + ") in bin " + inQuotes(bin);
    const std::string what = figure == Figure::onHand     ? "on hand"
                             : figure == Figure::reserved ? "reserved"
                                                          : "reserved for job " + inQuotes(job);
    return lot + ": " + std::to_string(stored) + " " + what + " stored, but the movements prove " +
           std::to_string(proved);
}

VerifyReport verifyStock(const ShopFile& shop) {
    ShopConnection& connection = shop.connection();
    const ReadTransaction reading(connection);
    VerifyReport report;
    try {
        checkFile(connection, report);
        checkNumbers(connection, report);
        compareBalances(connection, report);
        compareReservations(connection, report);
        checkReversals(connection, report);
    } catch (const ShopFileFault& fault) {
        report.faults.emplace_back(fault.what()); // damage that stops the reading is a finding, too
    }
    return report;
}

} // namespace shimledger::inventory
