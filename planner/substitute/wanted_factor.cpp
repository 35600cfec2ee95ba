// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/wanted_factor.h"

#include "planner/units/input_error.h"
#include "planner/units/length.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <iterator>

namespace shimledger::planner {

namespace {

constexpr double least_factor = 0.1, most_factor = 10, least_step_mm = 0.001, most_lift_mm = 5;
constexpr std::size_t most_points = 20;
constexpr int parts_of_mean = 64;
constexpr const char* right_form = "write LIFT:FACTOR,... such as 0:0.9,0.12:0.9,0.2:1";

std::string trimmed(const std::string& text) {
    const auto first = text.find_first_not_of(" \t"), last = text.find_last_not_of(" \t");
    return first == std::string::npos ? std::string() : text.substr(first, last - first + 1);
}

std::vector<std::string> partsOf(const std::string& text, char between) {
    std::vector<std::string> parts(1);
    for (const char c : text) {
        if (c == between)
            parts.emplace_back();
        else
            parts.back() += c;
    }
    for (std::string& part : parts) part = trimmed(part);
    return parts;
}

std::string shown(const std::string& typed) {
    constexpr std::size_t most = 40;
    return "'" + typed.substr(0, most) + (typed.size() > most ? "..." : "") + "'";
}

double numberIn(const std::string& typed, const char* what) {
    double value = 0;
    const auto read = std::from_chars(typed.data(), typed.data() + typed.size(), value);
    if (typed.empty() || read.ec != std::errc() || read.ptr != typed.data() + typed.size() ||
        !std::isfinite(value))
        throw InputError(std::string("the wanted curve has ") + shown(typed) + " where a " + what +
                         " should stand: " + right_form);
    return value;
}

std::string numberText(double value) {
    char text[32];
    const auto end = std::to_chars(std::begin(text), std::end(text), value).ptr;
    return {std::begin(text), end};
}

/// "10 % softer", "2.5 % stiffer", "the same".
std::string factorWords(double factor) {
    const double percent = std::round(std::abs(factor - 1) * 1e6) / 1e4;
    if (percent == 0) return "the same";
    return numberText(percent) + (factor < 1 ? " % softer" : " % stiffer");
}

std::string textOf(const std::vector<WantedPoint>& points) {
    std::string text;
    for (const WantedPoint& point : points) {
        text += (text.empty() ? "" : ",") + numberText(point.lift_mm) + ":" + numberText(point.factor);
    }
    return text;
}

} // namespace

std::string liftText(double lift_mm) {
    const double micrometres = lift_mm * 1000;
    const bool whole = std::abs(micrometres - std::round(micrometres)) < 1e-6;
    return (whole ? Length::fromMicrometres(std::llround(micrometres)).text(2) : numberText(lift_mm)) + " mm";
}

WantedFactor WantedFactor::read(const std::string& text) {
    if (trimmed(text).empty()) throw InputError(std::string("the wanted curve is empty: ") + right_form);
    const std::vector<std::string> typed = partsOf(text, ',');
    if (typed.size() > most_points) {
        throw InputError("the wanted curve has " + std::to_string(typed.size()) + " points: give at most " +
                         std::to_string(most_points));
    }
    for (const std::string& point : typed) {
        if (std::count(point.begin(), point.end(), ':') != 1) {
            throw InputError("the wanted curve's point " + shown(point) +
                             " is no lift and factor with one colon between them: " + right_form);
        }
    }
    WantedFactor wanted;
    wanted.m_points.clear();
    for (const std::string& point : typed) {
        const std::vector<std::string> pair = partsOf(point, ':');
        const double lift = numberIn(pair[0], "lift"), factor = numberIn(pair[1], "factor");
        if (lift < 0) {
            throw InputError("the wanted curve's lift " + pair[0] +
                             " lies below 0, where the stack is not yet open, nor a preloaded seat left: its "
                             "lifts begin at 0 mm");
        }
        if (lift > most_lift_mm) {
            throw InputError("the wanted curve's lift " + pair[0] + " lies beyond " +
                             numberText(most_lift_mm) + " mm: its lifts are in mm, up to the working lift");
        }
        if (!(factor >= least_factor && factor <= most_factor)) {
            throw InputError("the wanted curve's factor " + pair[1] + " must lie from " +
                             numberText(least_factor) + " to " + numberText(most_factor) +
                             " (0.9 is a tenth softer, 1 the same)");
        }
        if (!wanted.m_points.empty() && lift < wanted.m_points.back().lift_mm + least_step_mm - 1e-12) {
            throw InputError("the wanted curve's lifts must ascend, by " + numberText(least_step_mm) +
                             " mm or more: " + pair[0] + " stands behind " +
                             numberText(wanted.m_points.back().lift_mm));
        }
        wanted.m_points.push_back({lift, factor});
    }
    return wanted;
}

double WantedFactor::at(double lift_mm) const {
    if (lift_mm <= m_points.front().lift_mm) return m_points.front().factor;
    if (lift_mm >= m_points.back().lift_mm) return m_points.back().factor;
    const auto next =
        std::upper_bound(m_points.begin(), m_points.end(), lift_mm,
                         [](double lift, const WantedPoint& point) { return lift < point.lift_mm; });
    const auto last = std::prev(next);
    const double part = (lift_mm - last->lift_mm) / (next->lift_mm - last->lift_mm);
    return last->factor + part * (next->factor - last->factor);
}

bool WantedFactor::changesNothing() const {
    return std::all_of(m_points.begin(), m_points.end(),
                       [](const WantedPoint& point) { return point.factor == 1; });
}

WantedFactor WantedFactor::upTo(double lift_mm) const {
    WantedFactor shorter;
    shorter.m_points.clear();
    for (const WantedPoint& point : m_points) {
        if (point.lift_mm < lift_mm) shorter.m_points.push_back(point);
    }
    if (shorter.m_points.size() < m_points.size()) shorter.m_points.push_back({lift_mm, at(lift_mm)});
    return shorter;
}

double WantedFactor::meanLogUpTo(double lift_mm) const {
    double sum = 0;
    for (int i = 0; i < parts_of_mean; ++i) sum += std::log(at(lift_mm * (i + 0.5) / parts_of_mean));
    return sum / parts_of_mean;
}

WantedFactor WantedFactor::of(const std::vector<WantedPoint>& points) {
    return read(textOf(points));
}

std::string WantedFactor::text() const {
    return textOf(m_points);
}

std::string WantedFactor::words() const {
    struct Level {
        double factor, from_mm, to_mm;
    };
    std::vector<Level> levels; // neighbours of one factor are one
    for (const WantedPoint& point : m_points) {
        if (levels.empty() || levels.back().factor != point.factor)
            levels.push_back({point.factor, point.lift_mm, point.lift_mm});
        levels.back().to_mm = point.lift_mm;
    }
    if (levels.size() == 1) return factorWords(levels.front().factor) + " at every lift";
    std::string words;
    for (const Level& level : levels) {
        if (!words.empty()) words += ", ";
        words += factorWords(level.factor);
        if (&level == &levels.front())
            words += level.to_mm > 0 ? " up to " + liftText(level.to_mm) : " at the least lift";
        else if (&level == &levels.back())
            words += " from " + liftText(level.from_mm);
        else if (level.from_mm == level.to_mm)
            words += " at " + liftText(level.from_mm);
        else
            words += " from " + liftText(level.from_mm) + " to " + liftText(level.to_mm);
    }
    return words;
}

} // namespace shimledger::planner
