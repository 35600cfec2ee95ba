// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/plate_tables.h"

#include <vector>

namespace shimledger::planner {

/// One group's round solution along the radius: what lobed shapes are compared with and start from. Its
/// places are the contact nodes, with the clamp before them unless the group is a ring.
struct RoundShape {
    std::vector<double> deflection_mm; ///< at the places
    std::vector<double> slope;         ///< there
    /// N/mm, at the places and in the middle between each two; empty unless asked for.
    std::vector<double> radial_force;

    /// From the deflections at the contact nodes. With a membrane stiffness (N/mm) above 0 the forces too.
    void take(const PlateTables& tables, bool ring, const double* nodal_deflection, double membrane_n_per_mm);

    [[nodiscard]] int placeCount() const { return static_cast<int>(deflection_mm.size()); }
};

/// How many steps of a plate's fine radii lie from one place of its RoundShape to the next: an even number.
[[nodiscard]] int finePerPlace(const PlateTables& tables, bool ring);

} // namespace shimledger::planner
