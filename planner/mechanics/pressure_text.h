// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cmath>
#include <cstddef>
#include <string>

namespace shimledger::planner {

/// MPa (0 or more) with three decimals, and with more where a thin disc's pressures are small; whatever the
/// locale.
[[nodiscard]] inline std::string pressureText(double mpa) {
    std::size_t decimals = 3;
    for (double scaled = mpa; scaled > 0 && scaled < 0.1 && decimals < 9; scaled *= 10) ++decimals;
    std::string text = std::to_string(std::llround(mpa * std::pow(10, static_cast<double>(decimals))));
    if (text.size() <= decimals) text.insert(0, decimals + 1 - text.size(), '0');
    text.insert(text.size() - decimals, ".");
    return text;
}

} // namespace shimledger::planner
