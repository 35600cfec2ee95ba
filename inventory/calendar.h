// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <chrono>
#include <compare>
#include <functional>
#include <string>
#include <string_view>

namespace shimledger::inventory {

/// A calendar day, years 1900 to 2999. Text is ISO 8601: "2026-03-09".
class CalendarDate {
public:
    constexpr CalendarDate() = default; ///< 1970-01-01
    explicit constexpr CalendarDate(std::chrono::sys_days day) : m_day(day) {}

    /// Reads exactly "YYYY-MM-DD"; throws InputError on anything else or a day that does not exist.
    [[nodiscard]] static CalendarDate parse(std::string_view text);

    [[nodiscard]] std::string text() const;
    [[nodiscard]] constexpr std::chrono::sys_days day() const { return m_day; }
    [[nodiscard]] constexpr CalendarDate plusDays(int days) const {
        return CalendarDate(m_day + std::chrono::days(days));
    }
    constexpr auto operator<=>(const CalendarDate&) const = default;

private:
    std::chrono::sys_days m_day{};
};

/// A moment in UTC, in whole seconds, years 1900 to 2999. Text is ISO 8601: "2026-03-09T14:05:00Z".
class UtcTime {
public:
    constexpr UtcTime() = default; ///< 1970-01-01T00:00:00Z
    explicit constexpr UtcTime(std::chrono::sys_seconds moment) : m_moment(moment) {}
    [[nodiscard]] static constexpr UtcTime startOf(CalendarDate date) {
        return UtcTime(std::chrono::sys_seconds(date.day()));
    }

    /// Reads exactly "YYYY-MM-DDTHH:MM:SSZ"; throws InputError on anything else.
    [[nodiscard]] static UtcTime parse(std::string_view text);

    [[nodiscard]] std::string text() const;
    [[nodiscard]] constexpr CalendarDate date() const {
        return CalendarDate(std::chrono::floor<std::chrono::days>(m_moment));
    }
    [[nodiscard]] constexpr std::chrono::sys_seconds moment() const { return m_moment; }
    constexpr auto operator<=>(const UtcTime&) const = default;

private:
    std::chrono::sys_seconds m_moment{};
};

/// Tells the time. Handed in wherever a time is written, so that tests can fix it.
using WallClock = std::function<UtcTime()>;

[[nodiscard]] WallClock systemClock();
[[nodiscard]] WallClock fixedClock(UtcTime moment);

} // namespace shimledger::inventory
