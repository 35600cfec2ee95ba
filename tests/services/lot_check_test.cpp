// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/services/small_shop.h"

#include "app/services/lot_check.h"
#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

#include <stdexcept>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;
using inventory::Condition;

namespace {

const std::string disc = shimCode("24", "0.12");

} // namespace

TEST_CASE("Readings say mean, spread and how far from the nominal they are before anything is written") {
    SmallShop small;
    const LotCheck check = checkReadings(small.shop, disc, {mm("0.117"), mm("0.119"), mm("0.121")});
    CHECK(check.measured.mean == mm("0.119"));
    CHECK(check.measured.least == mm("0.117"));
    CHECK(check.measured.deviation_mm == Approx(0.002));
    CHECK(check.off() == mm("0.119") - mm("0.120"));
    CHECK_FALSE(check.tooFar());
    CHECK(check.like.empty());
    CHECK(check.sentence == "reads 0.119 (3 readings, 0.117 to 0.121), 0.001 below 0.12");
    CHECK(inventory::readingsOfPart(small.shop, disc).size() == 1); // nothing was written
    CHECK_THROWS_AS(checkReadings(small.shop, disc, {}), std::logic_error);
    CHECK_THROWS_WITH(checkReadings(small.shop, "SEAL", {mm("1")}), Contains("no thickness"));
}

TEST_CASE("A lot that reads like another size names it, and is too far off beyond its allowance") {
    SmallShop small;
    const LotCheck check = checkReadings(small.shop, disc, {mm("0.104")}, {{}, mm("0.010")});
    CHECK(check.tooFar());
    CHECK(check.like == shimCode("24", "0.10"));
    CHECK(check.sentence == "reads 0.104, 0.016 below 0.12, beyond 0.010; it reads more like S24-0.10");
    AllowedOff own;
    own.own = Length();
    CHECK_THROWS_WITH(checkReadings(small.shop, disc, {mm("0.1")}, own), Contains("above 0"));
    // Just at the allowance is within it.
    CHECK_FALSE(checkReadings(small.shop, disc, {mm("0.110")}, {{}, mm("0.010")}).tooFar());
}

TEST_CASE("The allowance is the half-width of the tolerance class in whole micrometres") {
    for (const auto tolerance : {planner::ToleranceClass::normal, planner::ToleranceClass::fine,
                                 planner::ToleranceClass::precision}) {
        const double half_width = planner::toleranceHalfWidth(tolerance, 0.12);
        CHECK(AllowedOff{tolerance}.of(mm("0.12")).millimetres() == Approx(half_width).margin(0.001));
    }
}

TEST_CASE("Lots that are too far off are listed, the farthest first, and others only when asked for") {
    SmallShop small;
    AllowedOff allowed{{}, mm("0.002")};
    CHECK(checkedLots(small.shop, allowed, true).empty());
    REQUIRE(checkedLots(small.shop, allowed, false).size() == 1); // the used ones read 0.118
    writeReadings(small.shop, shimCode("18", "0.15"), "a1\r", Condition::fresh, {mm("0.156"), mm("0.158")},
                  allowed);
    writeReadings(small.shop, disc, "A2", Condition::fresh, {mm("0.123")}, allowed);
    const auto far = checkedLots(small.shop, allowed, true);
    REQUIRE(far.size() == 2);
    CHECK(far[0].part == shimCode("18", "0.15"));
    CHECK(far[0].bin == "A1");
    CHECK(far[0].on_hand == 20);
    CHECK(far[1].part == disc);
    CHECK(far[1].condition == Condition::fresh);
}

TEST_CASE("All readings of a lot are written down, or none, and the bad one is named by its place") {
    SmallShop small;
    const LotCheck written =
        writeReadings(small.shop, disc, "F1", Condition::used, {mm("0.120"), mm("0.122")});
    CHECK(written.measured.readings == 3); // with the one that there was
    CHECK(written.measured.mean == mm("0.120"));
    CHECK(written.on_hand == 8);
    CHECK_THROWS_WITH(writeReadings(small.shop, disc, "A2", Condition::fresh, {mm("0.12"), mm("3.05")}),
                      Contains("reading 2: a reading of 3.050 mm cannot be of part"));
    CHECK_THROWS_WITH(writeReadings(small.shop, disc, "A2", Condition::fresh, {}), Contains("no reading"));
    CHECK_THROWS_AS(writeReadings(small.shop, disc, "NOWHERE", Condition::fresh, {mm("0.12")}), InputError);
    CHECK(inventory::readingsOfPart(small.shop, disc).size() == 3);
}
