// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <span>

namespace shimledger::planner {

/// Values of the four cubic Hermite functions of an element [r0, r0 + h] at one radius: order
/// w0, w0', w1, w1'.
struct HermiteValues {
    std::array<double, 4> value;
    std::array<double, 4> slope;
    std::array<double, 4> curvature;
};

/// `s` in [0, 1] along an element of length h.
[[nodiscard]] inline HermiteValues hermiteValues(double s, double h) {
    const double s2 = s * s;
    const double s3 = s2 * s;
    return {{1 - 3 * s2 + 2 * s3, h * (s - 2 * s2 + s3), 3 * s2 - 2 * s3, h * (s3 - s2)},
            {(6 * s2 - 6 * s) / h, 1 - 4 * s + 3 * s2, (6 * s - 6 * s2) / h, 3 * s2 - 2 * s},
            {(12 * s - 6) / (h * h), (6 * s - 4) / h, (6 - 12 * s) / (h * h), (6 * s - 2) / h}};
}

struct GaussPoint {
    double position; ///< in [0, 1]
    double weight;   ///< sums to 1
};

/// Four-point Gauss-Legendre rule on [0, 1]: exact to degree 7. Abramowitz & Stegun, table 25.4.
[[nodiscard]] inline std::span<const GaussPoint> fewGaussPoints() {
    static constexpr std::array<GaussPoint, 4> points = {{
        {0.5 - 0.861136311594053 / 2, 0.347854845137454 / 2},
        {0.5 - 0.339981043584856 / 2, 0.652145154862546 / 2},
        {0.5 + 0.339981043584856 / 2, 0.652145154862546 / 2},
        {0.5 + 0.861136311594053 / 2, 0.347854845137454 / 2},
    }};
    return points;
}

/// Six-point Gauss-Legendre rule on [0, 1]: exact to degree 11. Abramowitz & Stegun, table 25.4.
[[nodiscard]] inline std::span<const GaussPoint> gaussPoints() {
    static constexpr std::array<GaussPoint, 6> points = {{
        {0.5 - 0.932469514203152 / 2, 0.171324492379170 / 2},
        {0.5 - 0.661209386466265 / 2, 0.360761573048139 / 2},
        {0.5 - 0.238619186083197 / 2, 0.467913934572691 / 2},
        {0.5 + 0.238619186083197 / 2, 0.467913934572691 / 2},
        {0.5 + 0.661209386466265 / 2, 0.360761573048139 / 2},
        {0.5 + 0.932469514203152 / 2, 0.171324492379170 / 2},
    }};
    return points;
}

} // namespace shimledger::planner
