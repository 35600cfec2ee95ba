// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/wanted_factor.h"
#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <limits>
#include <string>

using namespace shimledger;
using namespace shimledger::planner;
using Catch::Contains;

TEST_CASE("a wanted factor is linear between its points and level outside them") {
    const WantedFactor wanted = WantedFactor::read("0.05:0.9,0.12:0.9,0.20:1.1");
    CHECK(wanted.at(0) == 0.9);
    CHECK(wanted.at(0.05) == 0.9);
    CHECK(wanted.at(0.10) == Approx(0.9).epsilon(1e-15));
    CHECK(wanted.at(0.16) == Approx(1.0).epsilon(1e-12));
    CHECK(wanted.at(0.18) == Approx(1.05).epsilon(1e-12));
    CHECK(wanted.at(0.20) == 1.1);
    CHECK(wanted.at(3) == 1.1);
    CHECK(WantedFactor().at(0.1) == 1);
    CHECK(WantedFactor().changesNothing());
    CHECK(WantedFactor::read("0:1, 0.3 : 1.0").changesNothing());
    CHECK_FALSE(wanted.changesNothing());
}

TEST_CASE("a wanted factor cut off at a lift is the same up to there") {
    const WantedFactor wanted = WantedFactor::read("0.05:0.9,0.12:0.8,0.20:1.1,0.25:1");
    const WantedFactor shorter = wanted.upTo(0.16);
    CHECK(shorter.points().back().lift_mm == 0.16);
    for (const double lift : {0.0, 0.05, 0.08, 0.12, 0.14, 0.16})
        CHECK(shorter.at(lift) == Approx(wanted.at(lift)).epsilon(1e-14));
    CHECK(wanted.upTo(0.30) == wanted);
    CHECK(wanted.upTo(0.01).at(0.005) == 0.9);
    CHECK(WantedFactor().upTo(0.3) == WantedFactor());
}

TEST_CASE("a wish is told in words, and its text reads back as itself") {
    const auto words = [](const char* text) {
        const WantedFactor wanted = WantedFactor::read(text);
        CHECK(WantedFactor::read(wanted.text()) == wanted);
        return wanted.words();
    };
    CHECK(words("0:0.90,0.12:0.90,0.20:1.0") == "10 % softer up to 0.12 mm, the same from 0.20 mm");
    CHECK(words("0.12:0.90,0.20:1") == "10 % softer up to 0.12 mm, the same from 0.20 mm");
    CHECK(words("0:0.9") == "10 % softer at every lift");
    CHECK(words("0.1:1.025,0.2:1.025") == "2.5 % stiffer at every lift");
    CHECK(words("0:1.2,0.3:1") == "20 % stiffer at the least lift, the same from 0.30 mm");
    CHECK(words("0:1,0.1:0.8,0.15:0.8,0.205:1.1,0.3:1") ==
          "the same at the least lift, 20 % softer from 0.10 mm to 0.15 mm, 10 % stiffer at 0.205 mm, the "
          "same from 0.30 mm");
    CHECK(words("0:1") == "the same at every lift");
}

TEST_CASE("what is no wish is refused with a sentence that says what would be right") {
    const auto told = [](const std::string& text) -> std::string {
        try {
            (void)WantedFactor::read(text);
        } catch (const InputError& error) {
            return error.what();
        }
        return "taken";
    };
    CHECK_THAT(told(""), Contains("is empty: write LIFT:FACTOR"));
    CHECK_THAT(told("  "), Contains("is empty"));
    CHECK_THAT(told("0.9"), Contains("'0.9' is no lift and factor with one colon"));
    CHECK_THAT(told("0:0.9,0.2"), Contains("'0.2' is no lift and factor"));
    CHECK_THAT(told("0:0.9,"), Contains("'' is no lift and factor"));
    CHECK_THAT(told("0:1:2"), Contains("'0:1:2'"));
    CHECK_THAT(told("0:0,9"), Contains("'9' is no lift and factor"));
    CHECK_THAT(told(":0.9"), Contains("'' where a lift should stand"));
    CHECK_THAT(told("0:"), Contains("'' where a factor should stand"));
    CHECK_THAT(told("low:0.9"), Contains("'low' where a lift"));
    for (const char* factor : {"nan", "inf", "-inf", "1e999", "0x1", "90%", "+0.9"})
        CHECK_THAT(told(std::string("0:") + factor), Contains("should stand") && Contains(factor));
    for (const char* factor : {"0", "-1", "1e9", "0.09", "10.1", "1e-300"})
        CHECK_THAT(told(std::string("0:") + factor), Contains("must lie from 0.1 to 10") && Contains(factor));
    CHECK_THAT(told("-0.01:0.9"), Contains("-0.01 lies below 0") && Contains("preloaded seat"));
    CHECK_THAT(told("nan:0.9"), Contains("'nan' where a lift"));
    CHECK_THAT(told("12:0.9"), Contains("12 lies beyond 5 mm"));
    CHECK_THAT(told("0.2:0.9,0.1:1"), Contains("must ascend") && Contains("0.1 stands behind 0.2"));
    CHECK_THAT(told("0.1:0.9,0.1:1"), Contains("must ascend"));
    CHECK_THAT(told("0.1:0.9,0.1000001:1"), Contains("by 0.001 mm or more"));
    std::string many;
    for (int i = 0; i < 21; ++i)
        many += (i > 0 ? "," : "") + std::string("0.0") + std::to_string(10 + i) + ":1";
    CHECK_THAT(told(many), Contains("at most 20"));
}
