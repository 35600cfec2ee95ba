// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/stock_verify.h"

#include "inventory/inventory_error.h"
#include "inventory/ledger/ledger_replay.h"
#include "inventory/master/change_check.h"
#include "inventory/part_kinds.h"
#include "inventory/schema/schema_check.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/postgres/server_check.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/row_salvage.h"
#include "inventory/storage/transaction.h"

#include <algorithm>

namespace shimledger::inventory {

namespace {

constexpr std::size_t most_findings =
    100; // of one sort: a file in that state needs a backup, not a longer list

std::string lotText(ShopConnection& connection, const LotKey& lot) {
    Query query(
        connection,
        "SELECT (SELECT code FROM parts WHERE part_id = ?1), (SELECT code FROM bins WHERE bin_id = ?2)",
        lot.part, lot.bin);
    query.mustRow();
    return "part " + inQuotes(query.textOrEmpty(0)) + " (" +
           std::string(conditionName(conditionOf(lot.condition))) + ") in bin " +
           inQuotes(query.textOrEmpty(1));
}

void compareBalances(ShopConnection& connection, const LedgerReplay& replay, VerifyReport& report) {
    auto proved = replay.lots(); // what is left at the end has no stored balance
    Query query(
        connection,
        "SELECT p.code, b.code, s.condition, s.on_hand, s.reserved, s.part_id, s.bin_id FROM balances s "
        "LEFT JOIN parts p USING (part_id) LEFT JOIN bins b USING (bin_id) ORDER BY p.code, b.code, "
        "s.condition");
    const auto compare = [&](StockDifference found, const LotBalance& stored, const LotBalance& sum) {
        ++report.lots;
        found.figure = StockDifference::Figure::onHand;
        found.stored = stored.on_hand;
        found.proved = sum.on_hand;
        if (found.stored != found.proved) report.differences.push_back(found);
        found.figure = StockDifference::Figure::reserved;
        found.stored = stored.reserved;
        found.proved = sum.reserved;
        if (found.stored != found.proved) report.differences.push_back(found);
    };
    StockDifference found;
    while (query.next()) {
        found.part = query.textOrEmpty(0);
        found.bin = query.textOrEmpty(1);
        found.condition = conditionOf(query.integer(2));
        const LotKey key{query.integer(5), query.integer(6), query.smallInteger(2)};
        const auto sum = proved.find(key);
        compare(found, {query.integer(3), query.integer(4)},
                sum == proved.end() ? LotBalance{} : sum->second);
        if (sum != proved.end()) proved.erase(sum);
    }
    for (const auto& [key, sum] : proved) {
        Query names(
            connection,
            "SELECT (SELECT code FROM parts WHERE part_id = ?1), (SELECT code FROM bins WHERE bin_id = ?2)",
            key.part, key.bin);
        names.mustRow();
        found.part = names.textOrEmpty(0);
        found.bin = names.textOrEmpty(1);
        found.condition = conditionOf(key.condition);
        compare(found, {}, sum);
    }
}

// A movement that took more than was there at its time cannot have been posted by the rules.
void reportOverdrafts(ShopConnection& connection, const LedgerReplay& replay, VerifyReport& report) {
    for (const LedgerReplay::Overdraft& overdraft : replay.overdrafts()) {
        report.faults.push_back("after movement " + std::to_string(overdraft.movement) + " " +
                                lotText(connection, overdraft.lot) + " has " +
                                std::to_string(overdraft.balance.on_hand) + " on hand and " +
                                std::to_string(overdraft.balance.reserved) + " reserved, which cannot be");
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
        "movement_id) AS before FROM movements) AS gaps WHERE movement_id > before + 1 LIMIT ?1",
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
        "OR r.bin_id <> m.bin_id OR r.condition <> m.condition OR r.job_id IS DISTINCT FROM m.job_id "
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

void checkPages(SqliteConnection& file, VerifyDepth depth, VerifyReport& report) {
    Query integrity(file, depth == VerifyDepth::everything ? "PRAGMA integrity_check" : "PRAGMA quick_check");
    while (integrity.next()) {
        if (integrity.text(0) != "ok") report.faults.push_back("the file is damaged: " + integrity.text(0));
    }
}

void checkReferences(ShopConnection& connection, VerifyReport& report) {
    for (std::string& sentence : connection.brokenReferences(most_findings))
        report.faults.push_back(std::move(sentence));
}

void addFaults(const std::vector<std::string>& wrong_definitions, VerifyReport& report) {
    for (const std::string& name : wrong_definitions) {
        report.faults.push_back("the file's " + name + " is not as this program made it");
    }
}

/// Nothing is promised to a job that has ended.
void checkEndedJobs(ShopConnection& connection, VerifyReport& report) {
    Query query(
        connection,
        "SELECT DISTINCT j.code, j.status FROM reservations r JOIN jobs j USING (job_id) WHERE j.status "
        "IN ('closed', 'cancelled') AND r.quantity > 0 ORDER BY j.code LIMIT ?1",
        static_cast<std::int64_t>(most_findings));
    while (query.next()) {
        report.faults.push_back("job " + inQuotes(query.text(0)) + " is " + query.text(1) +
                                ", but discs are reserved for it");
    }
}

/// The valves of a component say the same of it, and belong to a job that is none of another's.
void checkValves(ShopConnection& connection, VerifyReport& report) {
    Query query(
        connection,
        "SELECT v.code, c.code FROM jobs v JOIN jobs c ON c.job_id = v.valve_of_id WHERE c.valve_of_id IS "
        "NOT NULL OR v.model_id <> c.model_id OR v.customer <> c.customer OR v.component <> c.component "
        "OR v.opened <> c.opened OR v.due IS DISTINCT FROM c.due OR v.priority <> c.priority ORDER BY "
        "v.code LIMIT ?1",
        static_cast<std::int64_t>(most_findings));
    while (query.next()) {
        report.faults.push_back("job " + inQuotes(query.text(0)) + " is a valve of job " +
                                inQuotes(query.text(1)) + ", but they do not say the same of the component");
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

VerifyReport verifyStock(const ShopFile& shop, VerifyDepth depth) {
    ShopConnection& connection = shop.connection();
    const ReadTransaction reading(connection);
    VerifyReport report;
    SqliteConnection* file = asFile(connection); // a server looks after its own pages
    const SchemaDifferences schema =
        file != nullptr ? schemaDifferences(*file, shopMigrations()) : SchemaDifferences{};
    ServerConnection* server = asServer(connection);
    const ServerDifferences on_server =
        server != nullptr ? serverDifferences(*server, shopMigrations()) : ServerDifferences{};
    const auto tellServer = [&](const std::vector<std::string>& sentences) {
        report.faults.insert(report.faults.end(), sentences.begin(), sentences.end());
    };
    tellServer(on_server.tables);
    if (!on_server.tables.empty()) { // what follows reads by these names
        tellServer(on_server.others);
        return report;
    }
    if (std::any_of(schema.wrong.begin(), schema.wrong.end(),
                    [](const auto& name) { return name.rfind("table", 0) == 0; })) {
        addFaults(schema.wrong, report); // what follows reads by these names
        return report;
    }
    try {
        if (file != nullptr) checkPages(*file, depth, report);
        checkReferences(connection, report);
        checkNumbers(connection, report);
        const LedgerReplay replay(connection);
        compareBalances(connection, replay, report);
        reportOverdrafts(connection, replay, report);
        for (const std::string& sentence : replay.changedBatches()) report.faults.push_back(sentence);
        compareReservations(connection, report);
        checkReversals(connection, report);
        checkEndedJobs(connection, report);
        checkValves(connection, report);
        if (file != nullptr) {
            for (const std::string& sentence : unreadableValues(*file, most_findings))
                report.faults.push_back(sentence);
        }
        for (const std::string& sentence : changeFaults(shop, most_findings))
            report.faults.push_back(sentence);
        tellServer(on_server.others);
        addFaults(schema.wrong, report);
        for (const std::string& name : schema.foreign)
            report.faults.push_back("the file holds a " + name + ", which this program did not make");
    } catch (const ShopFileFault& fault) {
        report.faults.emplace_back(fault.what()); // damage that stops the reading is a finding, too
    }
    return report;
}

} // namespace shimledger::inventory
