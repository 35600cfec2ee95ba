// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/units/length.h"

#include "planner/units/input_error.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdlib>

namespace shimledger {

namespace {

constexpr std::int64_t largest_micrometres = 1'000'000'000; // 1 km of steel strip is not a shim

std::string_view trimmed(std::string_view text) {
    const auto blank = [](char c) { return c == ' ' || c == '\t'; };
    while (!text.empty() && blank(text.front())) text.remove_prefix(1);
    while (!text.empty() && blank(text.back())) text.remove_suffix(1);
    return text;
}

// Quoted back to the person; a pasted megabyte would not help anybody.
std::string quoted(std::string_view text) {
    constexpr std::size_t most = 40;
    if (text.size() <= most) return "'" + std::string(text) + "'";
    return "'" + std::string(text.substr(0, most)) + "...'";
}

} // namespace

Length Length::parseMillimetres(std::string_view text) {
    const std::string_view body = trimmed(text);
    std::string_view rest = body;
    bool negative = false;
    if (!rest.empty() && (rest.front() == '-' || rest.front() == '+')) {
        negative = rest.front() == '-';
        rest.remove_prefix(1);
    }
    std::int64_t micrometres = 0;
    int digits = 0;
    int decimals = -1; // -1: no point seen yet
    for (const char c : rest) {
        if (c == '.' && decimals < 0) {
            decimals = 0;
            continue;
        }
        if (c < '0' || c > '9') {
            throw InputError(quoted(body) +
                             " is not a length: write millimetres with a decimal point, such as 0.15");
        }
        ++digits;
        if (decimals >= 3) {
            if (c != '0') {
                throw InputError(quoted(body) +
                                 " mm has a digit finer than 1 um: give at most three decimals");
            }
            continue;
        }
        if (decimals >= 0) ++decimals;
        micrometres = micrometres * 10 + (c - '0');
        if (micrometres > largest_micrometres) {
            throw InputError(quoted(body) + " mm is out of range: a length is at most 1000000 mm");
        }
    }
    if (digits == 0) {
        throw InputError(quoted(body) +
                         " is not a length: write millimetres with a decimal point, such as 0.15");
    }
    for (int i = std::max(decimals, 0); i < 3; ++i) micrometres *= 10;
    if (micrometres > largest_micrometres) {
        throw InputError(quoted(body) + " mm is out of range: a length is at most 1000000 mm");
    }
    return Length(negative ? -micrometres : micrometres);
}

Length Length::fromMillimetres(double millimetres) {
    const double micrometres = millimetres * 1000.0;
    if (!std::isfinite(micrometres) || std::abs(micrometres) > static_cast<double>(largest_micrometres)) {
        throw InputError("a length must be a finite number of at most 1000000 mm");
    }
    const double nearest = std::round(micrometres);
    // Decimal text read as binary misses the grid by rounding only: some 1e-13 of the value.
    if (std::abs(micrometres - nearest) > 1e-6) {
        std::array<char, 32> digits{};
        const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), millimetres).ptr;
        throw InputError(std::string(digits.data(), end) +
                         " mm has a digit finer than 1 um: give at most three decimals");
    }
    return Length(static_cast<std::int64_t>(nearest));
}

std::string Length::text(int decimals) const {
    const std::int64_t magnitude = std::abs(m_micrometres);
    std::string fraction = std::to_string(1000 + magnitude % 1000).substr(1);
    while (static_cast<int>(fraction.size()) > decimals && fraction.back() == '0') fraction.pop_back();
    while (static_cast<int>(fraction.size()) < decimals && fraction.size() < 3) fraction += '0';
    std::string result;
    if (m_micrometres < 0) result += '-';
    result += std::to_string(magnitude / 1000);
    if (!fraction.empty()) result.append(1, '.').append(fraction);
    return result;
}

} // namespace shimledger
