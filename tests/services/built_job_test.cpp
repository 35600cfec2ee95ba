// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/services/small_shop.h"

#include "app/services/built_job.h"
#include "app/services/stock_flow.h"
#include "inventory/job_end.h"

#include <catch2/catch.hpp>

#include <stdexcept>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;
using inventory::Condition;

namespace {

const std::string face = shimCode("24", "0.10");
const std::string disc = shimCode("24", "0.12");

/// 2 x 24 x 0.12 in each leg in place of 2 x 24 x 0.10, all else as wanted, with two seals.
void planJ1(SmallShop& small) {
    inventory::JobStack build;
    build.role = inventory::StackRole::build;
    build.rows = {{2, mm("24"), mm("0.12"), 1}, {1, mm("18"), mm("0.15"), {}}, {1, mm("10"), mm("0.30"), {}}};
    inventory::JobBook(small.shop).setStack("J1", build);
    small.ledger.reserve("J1", {{disc, "A2", Condition::fresh, 4, face},
                                {shimCode("18", "0.15"), "A1", Condition::fresh, 2, ""},
                                {shimCode("10", "0.30"), "A1", Condition::fresh, 2, ""},
                                {"SEAL", "B1", Condition::fresh, 2, ""}});
}

const BuiltLot& lotOf(const BuiltJob& built, const std::string& part) {
    for (const BuiltLot& lot : built.lots) {
        if (lot.part.code == part) return lot;
    }
    throw std::runtime_error("nothing of " + part + " was built in");
}

void read(SmallShop& small, const std::string& part, const std::string& bin, const std::string& size,
          const std::string& utc) {
    inventory::addReading(small.shop,
                          {part, bin, Condition::fresh, mm(size), inventory::UtcTime::parse(utc)});
}

} // namespace

TEST_CASE("A closed job says what was built, with what stood in, its height and how it opens") {
    SmallShop small;
    planJ1(small);
    closeJob(small.shop, "J1", OpenReservations::issue);
    const BuiltJob built = builtJob(small.shop, "J1");
    CHECK(built.accepted);
    CHECK(built.built == small_shop_time);
    CHECK(built.discs() == 8);
    REQUIRE(built.lots.size() == 4);
    CHECK(lotOf(built, disc).wanted_part == face);
    CHECK(lotOf(built, disc).bin == "A2");
    CHECK(lotOf(built, "SEAL").quantity == 2);
    CHECK(built.target_height == mm("0.65"));
    CHECK(built.height == mm("0.69"));
    CHECK(built.notes.empty());
    REQUIRE(built.curves);
    CHECK(built.curves->small_lift_ratio > 1.2); // thicker face discs open later
    CHECK_THAT(built.curve_sentence, Contains("over 0.30 mm of lift"));
    CHECK(builtPulls(built).size() == 3);
}

TEST_CASE("What is measured after the pull does not change the figures of that day") {
    SmallShop small;
    read(small, disc, "A2", "0.121", "2026-03-08T10:00:00Z");
    read(small, disc, "A2", "0.123", "2026-03-08T10:00:01Z");
    planJ1(small);
    pullAll(small.shop, "J1");
    const BuiltJob before = builtJob(small.shop, "J1");
    REQUIRE(lotOf(before, disc).measured);
    CHECK(lotOf(before, disc).measured->mean == mm("0.122"));
    CHECK(lotOf(before, disc).measured->readings == 2);
    CHECK_FALSE(before.measured_height); // the other rows were not read
    read(small, disc, "A2", "0.110", "2026-03-10T10:00:00Z");
    const BuiltJob after = builtJob(small.shop, "J1");
    CHECK(lotOf(after, disc).measured == lotOf(before, disc).measured);
    CHECK(after.curves->signed_deviation == before.curves->signed_deviation);
}

TEST_CASE("Discs that came back, and pulls that were undone, were not built in") {
    SmallShop small;
    planJ1(small);
    pullAll(small.shop, "J1");
    PieceMove back{disc, "A2", 1, Condition::fresh, "J1"};
    returnPieces(small.shop, back);
    const BuiltJob less = builtJob(small.shop, "J1");
    CHECK(less.discs() == 7);
    REQUIRE(less.notes.size() == 1);
    CHECK(less.notes[0] == "1 of 24.0 x 0.12 fewer pulled than the stack has");
}

TEST_CASE("A job reopened and closed twice counts every disc once") {
    SmallShop small;
    planJ1(small);
    closeJob(small.shop, "J1", OpenReservations::issue);
    inventory::reopenJob(small.shop, "J1");
    issuePieces(small.shop, {"SEAL", "B1", 1, Condition::fresh, "J1"});
    closeJob(small.shop, "J1", OpenReservations::release);
    inventory::reopenJob(small.shop, "J1");
    closeJob(small.shop, "J1", OpenReservations::issue);
    const BuiltJob built = builtJob(small.shop, "J1");
    CHECK(lotOf(built, "SEAL").quantity == 3); // in one line
    CHECK(built.discs() == 8);
}

TEST_CASE("A job that was planned, given up and built as wanted shows its target") {
    SmallShop small;
    planJ1(small);
    releaseJob(small.shop, "J1");
    small.receive(face, "A1", 1);
    for (const auto& [part, quantity] : std::vector<std::pair<std::string, std::int64_t>>{
             {face, 4}, {shimCode("18", "0.15"), 2}, {shimCode("10", "0.30"), 2}})
        issuePieces(small.shop, {part, "A1", quantity, Condition::fresh, "J1"});
    closeJob(small.shop, "J1", OpenReservations::release);
    const BuiltJob built = builtJob(small.shop, "J1");
    CHECK_FALSE(built.accepted);
    CHECK(built.rows == built.target);
    CHECK(built.notes.empty());
    CHECK(built.curves->max_deviation < 1e-6);
}

TEST_CASE("A job that was closed with nothing pulled says so") {
    SmallShop small;
    closeJob(small.shop, "J2", OpenReservations::release);
    const BuiltJob built = builtJob(small.shop, "J2");
    CHECK_FALSE(built.built);
    CHECK(built.lots.empty());
    CHECK(built.curve_sentence == "no shim was pulled for it");
    CHECK_THROWS_WITH(builtJob(small.shop, "J9"), Contains("no job 'J9'"));
    CHECK_THROWS_WITH(builtJob(small.shop, "J1", 0), Contains("working lift"));
}
