// SPDX-License-Identifier: GPL-3.0-or-later
#include "support.h"

#include "inventory/strip_record.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

Length mm(const char* text) {
    return Length::parseMillimetres(text);
}

StripRow row(std::int64_t count, const char* od, const std::vector<const char*>& readings,
             const std::string& part = "") {
    StripRow row;
    row.count = count;
    row.od = mm(od);
    for (const char* reading : readings) row.readings.push_back(mm(reading));
    row.part = part;
    return row;
}

std::string refusalOfRow(SmallShop& small, const StripRow& row) {
    return refusalOf([&] { StripRecords(small.shop).set({"J1", 1, {}, {row}}); });
}

} // namespace

TEST_CASE("a strip sheet keeps every reading, and becomes the as-found stack with nominal diameter and mean "
          "thickness") {
    SmallShop small;
    StripRow face = row(5, "23.9", {"0.148", "0.150", "0.151"}, "S24-15");
    face.scrap = 1;
    face.scrap_reason = "bent";
    face.bin = "A2";
    StripRecords records(small.shop);
    records.set({"J1", 2, {}, {face, row(1, "17.95", {"0.199"})}});

    const auto sheet = records.find("J1", 2);
    REQUIRE(sheet);
    CHECK(sheet->utc == test_time);
    CHECK(sheet->rows == std::vector<StripRow>{face, row(1, "17.95", {"0.199"})});
    CHECK(sheet->rows[0].good() == 4);
    CHECK_FALSE(records.find("J1", 1));

    const auto stack = JobBook(small.shop).stack("J1", StackRole::asFound, 2);
    REQUIRE(stack);
    CHECK(stack->rows[0].od == mm("24"));
    CHECK(stack->rows[0].thickness == mm("0.150"));
    CHECK(stack->rows[1].od == mm("17.95"));
}

TEST_CASE("a strip sheet without rows takes the sheet and the as-found stack away") {
    SmallShop small;
    StripRecords records(small.shop);
    records.set({"J1", 1, {}, {row(1, "24", {"0.10"})}});
    records.set({"J1", 1, {}, {}});
    CHECK_FALSE(records.find("J1", 1));
    CHECK_FALSE(JobBook(small.shop).stack("J1", StackRole::asFound, 1));
}

TEST_CASE("a reading that is off by a digit or read in inches is named as such, and nothing changes") {
    SmallShop small;
    CHECK_THAT(refusalOfRow(small, row(1, "24", {"1.50"}, "S24-15")),
               Contains("ten times 0.15 mm: has a digit slipped"));
    CHECK_THAT(refusalOfRow(small, row(1, "24", {"0.015"}, "S24-15")),
               Contains("which is no thickness of a shim"));
    CHECK_THAT(refusalOfRow(small, row(1, "24", {"3.81"}, "S24-15")), Contains("turned into inches twice"));
    CHECK_THAT(refusalOfRow(small, row(2, "24", {"0.148", "1.48"})), Contains("ten times 0.148 mm"));
    CHECK_THAT(refusalOfRow(small, row(2, "24", {"0.10", "0.15"})), Contains("give each its own row"));
    CHECK_THAT(refusalOfRow(small, row(1, "0.945", {"0.15"})), Contains("no diameter of a shim"));
    CHECK_THAT(refusalOfRow(small, row(1, "240", {"0.15"})), Contains("no diameter of a shim"));
    CHECK_THAT(refusalOfRow(small, row(1, "22", {"0.15"}, "S24-15")), Contains("has 24.0 mm"));
    CHECK(StripRecords(small.shop).ofJob("J1").empty());
    CHECK(JobBook(small.shop).stacks("J1").empty());
}

TEST_CASE("a strip row must say what it is, and what of it is scrap and why") {
    SmallShop small;
    CHECK_THAT(refusalOfRow(small, row(1, "24", {})), Contains("neither a reading nor a part"));
    CHECK_THAT(refusalOfRow(small, row(0, "24", {"0.15"})), Contains("give 1 to 1000"));
    CHECK_THAT(refusalOfRow(small, row(1, "48", {}, "SEAL")), Contains("which is no shim"));
    StripRow bent = row(2, "24", {"0.15"});
    bent.scrap = 3;
    bent.scrap_reason = "bent";
    CHECK_THAT(refusalOfRow(small, bent), Contains("scraps 3 of 2"));
    bent.scrap = 1;
    bent.scrap_reason.clear();
    CHECK_THAT(refusalOfRow(small, bent), Contains("say why"));
    CHECK_THAT(refusalOf([&] {
                   StripRecords(small.shop).set({"J1", 3, {}, {row(1, "24", {"0.15"})}});
               }),
               Contains("has no leg 3"));
    JobBook(small.shop).cancel("J2");
    CHECK_THAT(refusalOf([&] {
                   StripRecords(small.shop).set({"J2", 1, {}, {row(1, "24", {"0.15"})}});
               }),
               Contains("not changed any more"));
}

TEST_CASE("used discs come back to a job as far as it pulled them or its strip found them") {
    SmallShop small;
    small.receive("S24-10", "A1", 10);
    StripRecords(small.shop).set({"J1", 1, {}, {row(3, "24", {"0.098"})}});
    MovementLine back = movement(MovementKind::returned, "S24-10", "A2", 4, "J1");
    back.condition = Condition::used;
    CHECK_THAT(refusalOf([&] { small.ledger.post({back}); }),
               Contains("only 3 of it was pulled for the job or found in its stacks"));
    small.ledger.post({movement(MovementKind::issue, "S24-10", "A1", 1, "J1")});
    small.ledger.post({back});
    back.quantity = 1;
    CHECK_THAT(refusalOf([&] { small.ledger.post({back}); }), Contains("only 0 of it"));
    back.part = "S24-15";
    CHECK_THAT(refusalOf([&] { small.ledger.post({back}); }), Contains("only 0 of it"));
    CHECK(small.lot("S24-10", "A2", Condition::used).on_hand == 4);
}
