// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/stack/stack_spec.h"

#include <vector>

namespace shimledger::planner {

/// Where a group lies: a run of touching discs of one OD, one bore and one Poisson's ratio.
struct GroupShape {
    double outer_radius_mm = 0;
    double inner_radius_mm = 0; ///< clamp radius, or half the bore of a ring
    bool ring = false;          ///< held by contact alone
    double poisson_ratio = 0.3;

    bool operator==(const GroupShape&) const = default;
};

/// The three sums through which a group's discs enter the model, whatever the discs are.
/// Frictionless discs of one outline share one deflection, so their plate stiffnesses add (exact in
/// both regimes).
struct GroupSums {
    double thickness_mm = 0;      ///< S1 = sum t: the gap that the group holds open
    double bending_n_mm = 0;      ///< sum E t^3 (E S3 for one material)
    double membrane_n_per_mm = 0; ///< sum E t (E S1 for one material)

    bool operator==(const GroupSums&) const = default;
};

/// A stack as the model sees it, piston face first, and which rows went into which group.
struct GroupedStack {
    std::vector<GroupShape> shapes;
    std::vector<GroupSums> sums;
    std::vector<int> group_of_row;
};

/// Throws InputError where there are more than 100 groups: no valve has as many, and a curve would take
/// minutes.
[[nodiscard]] GroupedStack groupStack(const StackSpec& stack);

/// The sums of `count` discs of one thickness and modulus.
[[nodiscard]] GroupSums sumsOf(int count, double thickness_mm, double elastic_modulus_mpa);

} // namespace shimledger::planner
