// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/calendar.h"

#include "inventory/storage/quoted.h"
#include "planner/units/input_error.h"

#include <array>
#include <cstdint>
#include <optional>

namespace shimledger::inventory {

namespace {

// Digits at the places of '0' in the pattern, everything else literally.
bool fits(std::string_view text, std::string_view pattern) {
    if (text.size() != pattern.size()) return false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const bool digit = text[i] >= '0' && text[i] <= '9';
        if (pattern[i] == '0' ? !digit : text[i] != pattern[i]) return false;
    }
    return true;
}

int number(std::string_view text, std::size_t from, std::size_t digits) {
    int value = 0;
    for (const char c : text.substr(from, digits)) value = value * 10 + (c - '0');
    return value;
}

std::string padded(int value, std::size_t digits) {
    std::string text = std::to_string(value);
    return std::string(digits - text.size(), '0') + text;
}

std::optional<std::chrono::sys_days> dayOf(std::string_view text) {
    const int year = number(text, 0, 4);
    const std::chrono::year_month_day date{std::chrono::year(year),
                                           std::chrono::month(static_cast<unsigned>(number(text, 5, 2))),
                                           std::chrono::day(static_cast<unsigned>(number(text, 8, 2)))};
    if (!date.ok() || year < 1900 || year > 2999) return std::nullopt;
    return std::chrono::sys_days(date);
}

} // namespace

CalendarDate CalendarDate::parse(std::string_view text) {
    if (fits(text, "0000-00-00")) {
        if (const auto day = dayOf(text)) return CalendarDate(*day);
    }
    throw InputError(inQuotes(text) + " is not a date: write YYYY-MM-DD, such as 2026-03-09");
}

std::string CalendarDate::text() const {
    const std::chrono::year_month_day date(m_day);
    return padded(static_cast<int>(date.year()), 4) + "-" +
           padded(static_cast<int>(static_cast<unsigned>(date.month())), 2) + "-" +
           padded(static_cast<int>(static_cast<unsigned>(date.day())), 2);
}

UtcTime UtcTime::parse(std::string_view text) {
    if (fits(text, "0000-00-00T00:00:00Z")) {
        const auto day = dayOf(text);
        const int hour = number(text, 11, 2);
        const int minute = number(text, 14, 2);
        const int second = number(text, 17, 2);
        if (day && hour < 24 && minute < 60 && second < 60) {
            return UtcTime(*day + std::chrono::hours(hour) + std::chrono::minutes(minute) +
                           std::chrono::seconds(second));
        }
    }
    throw InputError(inQuotes(text) +
                     " is not a UTC time: write YYYY-MM-DDTHH:MM:SSZ, such as 2026-03-09T14:05:00Z");
}

std::string UtcTime::text() const {
    const CalendarDate day = date();
    const std::chrono::hh_mm_ss clock(m_moment - std::chrono::sys_seconds(day.day()));
    return day.text() + "T" + padded(static_cast<int>(clock.hours().count()), 2) + ":" +
           padded(static_cast<int>(clock.minutes().count()), 2) + ":" +
           padded(static_cast<int>(clock.seconds().count()), 2) + "Z";
}

WallClock systemClock() {
    return [] { return UtcTime(std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now())); };
}

WallClock fixedClock(UtcTime moment) {
    return [moment] { return moment; };
}

} // namespace shimledger::inventory
