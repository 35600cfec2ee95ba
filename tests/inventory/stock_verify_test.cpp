// SPDX-License-Identifier: GPL-3.0-or-later
#include "support.h"

#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

// A shop with a little of everything in its ledger.
void keepBusy(SmallShop& small) {
    small.receive("S24-10", "A1", 10);
    small.receive("S24-15", "A2", 6);
    small.ledger.reserve("J1", {{"S24-10", "A1", Condition::fresh, 4, "S24-15"}});
    MovementLine move = movement(MovementKind::move, "S24-15", "A2", 2);
    move.to_bin = "B1";
    small.ledger.post({move});
    small.ledger.reverse(small.ledger.post({movement(MovementKind::scrap, "S24-15", "A2", 1)}).movements[0],
                         "");
}

} // namespace

TEST_CASE("verify proves true books true and says how much it looked at") {
    SmallShop small;
    keepBusy(small);
    const VerifyReport report = verifyStock(small.shop);
    CHECK(report.good());
    CHECK(report.movements == 7);
    CHECK(report.lots == 3);
}

TEST_CASE("verify finds a tampered balance and names part, bin, stored and proved", "[file]") {
    SmallShop small;
    keepBusy(small);
    CHECK(RawDatabase(small.shop.path()).run("UPDATE balances SET on_hand = 11 WHERE on_hand = 10").empty());
    const VerifyReport report = verifyStock(small.shop);
    REQUIRE(report.differences.size() == 1);
    CHECK(report.differences[0].text() ==
          "part 'S24-10' (new) in bin 'A1': 11 on hand stored, but the movements prove 10");
}

TEST_CASE("verify finds every sort of tampering", "[file]") {
    SmallShop small;
    keepBusy(small);
    struct Tampering {
        std::string sql;
        std::string finding;
    };
    const Tampering tampering = GENERATE(values<Tampering>({
        {"UPDATE balances SET reserved = 3 WHERE reserved = 4",
         "3 reserved stored, but the movements prove 4"},
        {"UPDATE reservations SET quantity = 9", "9 reserved for job 'J1' stored, but the movements prove 4"},
        {"DELETE FROM reservations", "0 reserved for job 'J1' stored, but the movements prove 4"},
        {"INSERT INTO balances VALUES (3, 1, 0, 5, 0)", "part 'SEAL' (new) in bin 'A1': 5 on hand stored"},
        {"DELETE FROM balances WHERE on_hand = 10", "0 on hand stored, but the movements prove 10"},
        {"DROP TRIGGER movements_never_go; DELETE FROM movements WHERE movement_id = 2",
         "movement 2 is missing from the ledger"},
        {"DROP TRIGGER movements_never_change; UPDATE movements SET quantity = 12, on_hand_change = 12 "
         "WHERE movement_id = 1",
         "part 'S24-10' (new) in bin 'A1': 10 on hand stored, but the movements prove 12"},
        {"DROP TRIGGER movements_never_change; UPDATE movements SET bin_id = 2 WHERE movement_id = 6; "
         "UPDATE movements SET bin_id = 3 WHERE kind = 'reversal'",
         "movement 7 does not undo movement 6, which it names"},
        {"DROP TRIGGER movements_never_change; UPDATE movements SET quantity = 3, on_hand_change = 3 "
         "WHERE moved_from_id IS NOT NULL",
         "the two halves of move 4 do not match"},
        {"PRAGMA foreign_keys = OFF; DELETE FROM jobs WHERE code = 'J1'",
         "a row of movements names a row of jobs"},
        {"UPDATE jobs SET status = 'closed' WHERE code = 'J1'",
         "job 'J1' is closed, but discs are reserved for it"},
        {"CREATE TRIGGER evil AFTER INSERT ON movements BEGIN SELECT 1; END", "trigger evil"},
        {"CREATE TABLE evil (a)", "table evil"},
        {"CREATE VIEW evil AS SELECT 1", "view evil"},
    }));
    INFO(tampering.sql);
    REQUIRE(RawDatabase(small.shop.path()).run(tampering.sql).empty());
    const VerifyReport report = verifyStock(small.shop);
    CHECK_FALSE(report.good());
    std::string findings;
    for (const StockDifference& difference : report.differences) findings += difference.text() + "\n";
    for (const std::string& fault : report.faults) findings += fault + "\n";
    CHECK_THAT(findings, Contains(tampering.finding));
}

TEST_CASE("verify replays the ledger in order: a lot that was overdrawn in between is found, though the sums "
          "agree",
          "[file]") {
    SmallShop small;
    small.receive("S24-10", "A1", 5);
    small.ledger.post({movement(MovementKind::scrap, "S24-10", "A1", 5)});
    small.receive("S24-10", "A1", 5);
    // The scrapping now comes first: 5 - 5 + 5 becomes -5 + 5 + 5.
    REQUIRE(RawDatabase(small.shop.path())
                .run("DROP TRIGGER movements_never_change; UPDATE movements SET kind = 'scrap', "
                     "on_hand_change = -5 WHERE "
                     "movement_id = 1; UPDATE movements SET kind = 'receipt', on_hand_change = 5 WHERE "
                     "movement_id = 2")
                .empty());
    const VerifyReport report = verifyStock(small.shop);
    CHECK(report.differences.empty());
    REQUIRE(report.faults.size() == 4);
    CHECK_THAT(report.faults[1], Contains("movements 1 to 1 are not as they were posted"));
    CHECK_THAT(report.faults[2], Contains("movements 2 to 2 are not as they were posted"));
    CHECK(report.faults[0] ==
          "after movement 1 part 'S24-10' (new) in bin 'A1' has -5 on hand and 0 reserved, which "
          "cannot be");
    CHECK(report.faults[3] == "the file's trigger movements_never_change is not as this program made it");
}

TEST_CASE("an index that disagrees with its table is found when everything is looked at", "[file]") {
    SmallShop small;
    keepBusy(small);
    CHECK(verifyStock(small.shop, VerifyDepth::ledger).good());
    RawDatabase raw(small.shop.path());
    const std::string root = "SELECT rootpage FROM sqlite_schema WHERE name = ";
    const std::string by_bin = raw.value(root + "'movements_by_bin'");
    const std::string by_part = raw.value(root + "'movements_by_part'");
    // Two indexes of one shape change places: every page is sound and used once, and yet they say nonsense.
    REQUIRE(raw.run("PRAGMA writable_schema = ON; UPDATE sqlite_schema SET rootpage = CASE name WHEN "
                    "'movements_by_bin' THEN " +
                    by_part + " ELSE " + by_bin +
                    " END WHERE name IN "
                    "('movements_by_bin', 'movements_by_part'); PRAGMA writable_schema = RESET")
                .empty());
    const ShopFile again = ShopFile::openReadOnly(small.shop.path());
    CHECK_FALSE(verifyStock(again, VerifyDepth::everything).good());
}

TEST_CASE("the database itself forbids changing, deleting and replacing movements", "[file]") {
    SmallShop small;
    keepBusy(small);
    RawDatabase raw(small.shop.path());
    CHECK_THAT(raw.run("UPDATE movements SET quantity = 1"), Contains("never changed"));
    CHECK_THAT(raw.run("DELETE FROM movements"), Contains("never deleted"));
    CHECK_THAT(raw.run("INSERT OR REPLACE INTO movements SELECT * FROM movements WHERE movement_id = 1"),
               Contains("never replaced"));
    CHECK_THAT(
        raw.run(
            "INSERT OR REPLACE INTO movements (movement_id, batch, utc, kind, part_id, bin_id, condition, "
            "quantity, on_hand_change, reserved_change, reverses_id, reason) SELECT 90, 90, utc, kind, "
            "part_id, bin_id, condition, quantity, 0, 0, reverses_id, '' FROM movements WHERE "
            "reverses_id IS NOT NULL"),
        Contains("never replaced"));
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE("the database itself forbids impossible balances and movements", "[file]") {
    SmallShop small;
    keepBusy(small);
    RawDatabase raw(small.shop.path());
    const std::string movement_head =
        "INSERT INTO movements (batch, utc, kind, part_id, bin_id, condition, quantity, "
        "on_hand_change, reserved_change, reason) VALUES (1, '2026-03-09T14:05:00Z', ";
    const std::string sql = GENERATE_COPY(values<std::string>({
        "UPDATE balances SET on_hand = -1",
        "UPDATE balances SET reserved = -1",
        "UPDATE balances SET reserved = on_hand + 1",
        "UPDATE balances SET on_hand = 'many'",
        "UPDATE reservations SET quantity = 0",
        movement_head + "'receipt', 1, 1, 0, 5, 6, 0, '')",
        movement_head + "'receipt', 1, 1, 0, 0, 0, 0, '')",
        movement_head + "'reserve', 1, 1, 0, 5, 0, 5, '')",
        movement_head + "'issue', 1, 1, 0, 5, -5, -5, '')",
        movement_head + "'theft', 1, 1, 0, 5, -5, 0, '')",
        movement_head + "'reversal', 1, 1, 0, 5, -5, 0, '')",
        movement_head + "'receipt', 1, 1, 2, 5, 5, 0, '')",
    }));
    INFO(sql);
    CHECK_THAT(raw.run(sql), Contains("constraint failed") || Contains("cannot store TEXT"));
}

TEST_CASE("verify of a damaged file reports the damage instead of failing", "[file]") {
    SmallShop small;
    keepBusy(small);
    const auto path = small.folder / "copy.db";
    CHECK(RawDatabase(small.shop.path()).run("VACUUM INTO '" + path.string() + "'").empty());
    const ShopFile copy = ShopFile::openReadOnly(path);
    RawDatabase raw(path);
    const long long page =
        std::stoll(raw.value("SELECT rootpage FROM sqlite_schema WHERE name = 'movements'"));
    std::fstream file(path, std::ios::binary | std::ios::in | std::ios::out);
    file.seekp((page - 1) * 4096 + 8);
    file << std::string(600, '\x7f');
    file.seekp(24); // SQLite's change counter: what the connection holds in memory is out of date
    file << "late";
    file.close();
    const VerifyReport report = verifyStock(copy);
    REQUIRE_FALSE(report.faults.empty());
    CHECK_THAT(report.faults[0], Contains("damaged"));
}
