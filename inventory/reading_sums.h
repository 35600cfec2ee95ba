// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/units/length.h"

#include <cmath>
#include <cstdint>

namespace shimledger::inventory {

/// To the nearest whole micrometre, halves up; all readings are positive.
[[nodiscard]] inline Length meanOf(std::int64_t sum_um, std::int64_t count) {
    return Length::fromMicrometres((2 * sum_um + count) / (2 * count));
}

/// Exact up to the root: sums of whole micrometres. A lot has at most some thousand readings of under 10 mm.
[[nodiscard]] inline double deviationOf(std::int64_t sum_um, std::int64_t sum_of_squares,
                                        std::int64_t count) {
    if (count < 2) return 0;
    const auto spread = static_cast<double>(count * sum_of_squares - sum_um * sum_um);
    return std::sqrt(spread / static_cast<double>(count * (count - 1))) / 1000;
}

} // namespace shimledger::inventory
