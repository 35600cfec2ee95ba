// SPDX-License-Identifier: GPL-3.0-or-later
// A wish as a tuner types it.
#include "app/services/typed_wish.h"
#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

#include <random>
#include <string>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;

namespace {

std::string refusalOf(const std::string& text) {
    try {
        static_cast<void>(typedWish(text));
        return {};
    } catch (const InputError& error) {
        return error.what();
    }
}

} // namespace

TEST_CASE("a wish is read as it is typed, with points or commas, units and signs, or without") {
    const std::pair<const char*, const char*> typed[] = {{"-10", "0:0.9"},
                                                         {"-10 %", "0:0.9"},
                                                         {"+5", "0:1.05"},
                                                         {" -2,5 ", "0:0.975"},
                                                         {"-2.5", "0:0.975"},
                                                         {"0.12 -10; 0.20 0", "0.12:0.9,0.2:1"},
                                                         {"0,12 -10; 0,20 0", "0.12:0.9,0.2:1"},
                                                         {"0.12 mm -10 %, 0.20 mm 0 %", "0.12:0.9,0.2:1"},
                                                         {"0.12 -10,0.20 0", "0.12:0.9,0.2:1"},
                                                         {"0,12 -10, 0,20 0", "0.12:0.9,0.2:1"},
                                                         {"0.12mm -10%; 0.20mm +0%;", "0.12:0.9,0.2:1"},
                                                         {"0 -10\n0.3 -5", "0:0.9,0.3:0.95"}};
    for (const auto& [text, wanted] : typed) {
        INFO(text);
        CHECK(typedWish(text).text() == wanted);
    }
}

TEST_CASE("what is no wish is refused in a sentence that says what would be right") {
    for (const char* text : {"", "softer", "0.12", "0.12 -10; 0.20", "0.12 -10 5", "nan", "inf", "1e9",
                             "0.12 -95", "0.2 -10; 0.1 0", "-0.1 -10; 0.2 0", "9 -10; 10 0",
                             "0.1.2 -10; 0.3 0", "0.12 --10; 0.2 0", "1,2,3 -10; 4 0"}) {
        INFO(text);
        const std::string refusal = refusalOf(text);
        // "0.12" alone is per cent at every lift, and "1e9" a number far beyond what can be wished.
        if (std::string(text) == "0.12") {
            CHECK(refusal.empty());
            continue;
        }
        CHECK_FALSE(refusal.empty());
        CHECK(refusal.find('\n') == std::string::npos);
    }
    CHECK_THAT(refusalOf("softer"), Contains("-10") && Contains("0.12 -10; 0.20 0"));
    CHECK_THAT(refusalOf("0.12 -95; 0.2 0"), Contains("-90"));
}

TEST_CASE("the text of any wish reads back as the same wish") {
    std::mt19937 random(7);
    for (int i = 0; i < 2'000; ++i) {
        std::vector<planner::WantedPoint> points;
        double lift = 0;
        const int count = 1 + static_cast<int>(random() % 5);
        for (int p = 0; p < count; ++p) {
            const double factor = (500.0 + static_cast<double>(random() % 1000)) / 1000;
            points.push_back({lift, factor == 1 && count == 1 ? 0.9 : factor});
            lift = (std::round(lift * 1000) + 1 + static_cast<double>(random() % 400)) / 1000;
        }
        const auto wish = planner::WantedFactor::of(points);
        if (wish.changesNothing()) continue;
        INFO(wish.text());
        CHECK(typedWish(wishForm(wish)) == wish);
    }
    CHECK(wishForm(planner::WantedFactor()).empty());
}
