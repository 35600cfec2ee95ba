// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/hermite_element.h"
#include "planner/mechanics/plate_tables.h"
#include "planner/mechanics/round_shape.h"

#include <array>
#include <cstddef>
#include <vector>

namespace shimledger::planner {

/// Fewest and most waves round the rim that are looked at: one wave is a tilt, and seven need more load.
constexpr int fewest_lobes = 2;
constexpr int most_lobes = 6;

/// Three-point Gauss-Legendre rule on [0, 1]: exact to degree 5. Abramowitz & Stegun, table 25.4.
constexpr std::size_t lobed_points = 3;
constexpr std::array<GaussPoint, lobed_points> lobed_gauss = {{
    {0.5 - 0.774596669241483 / 2, 5.0 / 18},
    {0.5, 8.0 / 18},
    {0.5 + 0.774596669241483 / 2, 5.0 / 18},
}};

/// A cubic Hermite element between two neighbouring places of a group (see RoundShape), with the integration
/// points on it. Its four freedoms are value and slope at either end.
struct LobedElement {
    struct Point {
        double position = 0, radius = 0, weight = 0; ///< position in [0, 1]; weight in dr
        HermiteValues hermite{};
    };
    double length_mm = 0;
    int first_freedom = 0; ///< among the group's; -2 where the element begins at the clamp, which has none
    std::array<Point, lobed_points> points{};

    [[nodiscard]] int firstFree() const { return first_freedom < 0 ? 2 : 0; }
};

[[nodiscard]] inline std::vector<LobedElement> lobedElements(const PlateTables& tables, bool ring) {
    std::vector<LobedElement> elements;
    const auto step = static_cast<std::size_t>(finePerPlace(tables, ring));
    for (std::size_t fine = 0; fine + step < tables.fine_radii_mm.size(); fine += step) {
        const double inner = tables.fine_radii_mm[fine];
        LobedElement element;
        element.length_mm = tables.fine_radii_mm[fine + step] - inner;
        element.first_freedom = 2 * static_cast<int>(elements.size()) - (ring ? 0 : 2);
        for (std::size_t q = 0; q < lobed_points; ++q) {
            const double s = lobed_gauss[q].position;
            element.points[q] = {s, inner + s * element.length_mm, lobed_gauss[q].weight * element.length_mm,
                                 hermiteValues(s, element.length_mm)};
        }
        elements.push_back(element);
    }
    return elements;
}

} // namespace shimledger::planner
