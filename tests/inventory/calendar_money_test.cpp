// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/calendar.h"
#include "inventory/money.h"
#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::inventory;

TEST_CASE("dates are read exactly and written back alike") {
    for (const char* text : {"1970-01-01", "2024-02-29", "1900-01-01", "2999-12-31"}) {
        CHECK(CalendarDate::parse(text).text() == text);
    }
    for (const char* text : {"", "2026-2-03", "2025-02-29", "2026-13-01", "2026-00-10", "03.02.2026",
                             "2026-02-03 ", "1899-12-31", "3000-01-01", "2026-02-0x"}) {
        INFO(text);
        CHECK_THROWS_AS(CalendarDate::parse(text), InputError);
    }
    CHECK(CalendarDate::parse("2026-02-28").plusDays(1).text() == "2026-03-01");
}

TEST_CASE("UTC times are read exactly and written back alike") {
    for (const char* text : {"1970-01-01T00:00:00Z", "2026-03-09T23:59:59Z", "1950-06-01T12:30:01Z"}) {
        CHECK(UtcTime::parse(text).text() == text);
    }
    for (const char* text :
         {"2026-03-09", "2026-03-09T14:05:00", "2026-03-09T14:05:00+01:00", "2026-03-09T24:00:00Z",
          "2026-03-09T14:60:00Z", "2026-03-09T14:05:60Z", "2026-03-09t14:05:00z"}) {
        INFO(text);
        CHECK_THROWS_AS(UtcTime::parse(text), InputError);
    }
    CHECK(UtcTime::parse("2026-03-09T23:59:59Z").date().text() == "2026-03-09");
    CHECK(UtcTime::startOf(CalendarDate::parse("2026-03-09")).text() == "2026-03-09T00:00:00Z");
    CHECK(systemClock()() > UtcTime::parse("2024-01-01T00:00:00Z"));
}

TEST_CASE("money is exact in hundredths") {
    struct Good {
        const char* text;
        Hundredths amount;
        const char* written;
    };
    for (const Good& good :
         {Good{"12.50", 1250, "12.50"}, Good{"12.5", 1250, "12.50"}, Good{"12", 1200, "12.00"},
          Good{"0.07", 7, "0.07"}, Good{"10000000", 1'000'000'000, "10000000.00"}}) {
        CHECK(parseMoney(good.text) == good.amount);
        CHECK(moneyText(good.amount) == good.written);
    }
    for (const char* text :
         {"", "-1", "1.234", "1,50", ".5", "5.", "1e3", "EUR 5", "10000000.01", "99999999999999999999"}) {
        INFO(text);
        CHECK_THROWS_AS(parseMoney(text), InputError);
    }
    CHECK(moneyText(-1250) == "-12.50");
}

TEST_CASE("a currency is three capital letters") {
    CHECK_NOTHROW(checkCurrency("EUR"));
    for (const char* text : {"", "eur", "EURO", "E1R"}) CHECK_THROWS_AS(checkCurrency(text), InputError);
}
