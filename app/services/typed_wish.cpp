// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/typed_wish.h"

#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <cctype>
#include <charconv>
#include <cmath>
#include <vector>

namespace shimledger::services {

namespace {

constexpr const char* right_form =
    "write per cent for every lift, as in -10, or lifts in mm with per cent, as in 0.12 -10; 0.20 0";

bool isDigit(char c) {
    return std::isdigit(static_cast<unsigned char>(c)) != 0;
}

bool isBlank(char c) {
    return std::isspace(static_cast<unsigned char>(c)) != 0;
}

/// Points apart from each other. A comma between digits is a decimal sign where nothing else is one.
std::vector<std::string> pointsOf(std::string_view text) {
    const bool comma_parts = text.find('.') != std::string_view::npos;
    std::vector<std::string> points(1);
    for (std::size_t i = 0; i < text.size(); ++i) {
        const bool between_digits =
            i > 0 && i + 1 < text.size() && isDigit(text[i - 1]) && isDigit(text[i + 1]);
        if (text[i] == ';' || text[i] == '\n' || (text[i] == ',' && (comma_parts || !between_digits)))
            points.emplace_back();
        else
            points.back() += text[i] == ',' ? '.' : text[i];
    }
    while (points.size() > 1 && points.back().find_first_not_of(" \t") == std::string::npos)
        points.pop_back(); // one too many at the end says nothing
    return points;
}

/// The words of a point without its units, which say nothing new.
std::vector<std::string> numbersOf(const std::string& point) {
    std::vector<std::string> words(1);
    for (std::size_t i = 0; i < point.size(); ++i) {
        const bool unit = point.compare(i, 2, "mm") == 0;
        if (unit) ++i;
        if (unit || isBlank(point[i]) || point[i] == '%') {
            if (!words.back().empty()) words.emplace_back();
        } else {
            words.back() += point[i];
        }
    }
    if (words.back().empty()) words.pop_back();
    return words;
}

double numberIn(const std::string& word) {
    const char* first = word.data() + (word.starts_with('+') ? 1 : 0);
    const char* last = word.data() + word.size();
    double value = 0;
    const auto read = std::from_chars(first, last, value);
    if (first == last || read.ec != std::errc() || read.ptr != last || !std::isfinite(value))
        throw InputError(fmt::format("'{}' is no number: {}", word.substr(0, 40), right_form));
    return value;
}

/// Of per cent: -10 is 0.9. To a millionth, so that what is typed comes back.
double factorOf(double per_cent) {
    constexpr double least = -90, most = 900;
    if (!(per_cent >= least && per_cent <= most))
        throw InputError(fmt::format("{} % cannot be wished: from {} % (softer) to +{} % (stiffer) can be",
                                     per_cent, least, most));
    return std::round((1 + per_cent / 100) * 1e6) / 1e6;
}

double perCentOf(double factor) {
    return std::round((factor - 1) * 1e8) / 1e6;
}

} // namespace

planner::WantedFactor typedWish(std::string_view text) {
    const std::vector<std::string> typed = pointsOf(text);
    std::vector<planner::WantedPoint> points;
    for (const std::string& point : typed) {
        const std::vector<std::string> words = numbersOf(point);
        if (words.size() == 1 && typed.size() == 1)
            return planner::WantedFactor::of({{0, factorOf(numberIn(words[0]))}});
        if (words.size() != 2)
            throw InputError(
                fmt::format("'{}' is no lift with its per cent: {}", point.substr(0, 40), right_form));
        points.push_back({numberIn(words[0]), factorOf(numberIn(words[1]))});
    }
    return planner::WantedFactor::of(points);
}

std::string wishForm(const planner::WantedFactor& wish) {
    if (wish.changesNothing()) return {};
    const auto& points = wish.points();
    if (points.size() == 1) return fmt::format("{}", perCentOf(points.front().factor));
    std::string text;
    for (const planner::WantedPoint& point : points)
        text += fmt::format("{}{} {}", text.empty() ? "" : "; ", point.lift_mm, perCentOf(point.factor));
    return text;
}

} // namespace shimledger::services
