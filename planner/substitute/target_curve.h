// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/plate_tables.h"
#include "planner/substitute/substitute_request.h"

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::planner {

/// The curve that is looked for, where it is compared, and how much each lift counts. It is the target's own
/// times what is wanted of it: the one place where that factor comes in.
struct TargetCurve {
    std::vector<double> lifts_mm; ///< ascending; the range of the comparison ends with the last
    std::vector<double> pressures_mpa;
    std::vector<double> weights;
    /// Further lifts between those: a curve may deviate more there than at any of them.
    std::vector<double> between_mm, between_mpa, between_weights;
    WantedFactor wanted;             ///< in the pressures already
    GridOptions grid;                ///< of every curve that is compared with it
    double friction_coefficient = 0; ///< above 0: all curves are those of a rising pressure, with what
                                     ///< friction adds at these lifts and linear between them
    /// The pressures at any other lifts, ascending, of the range; empty where nobody asks.
    std::function<std::vector<double>(const std::vector<double>& lifts_mm)> pressures_at;
    double low_speed_lift_mm = 0, low_speed_weight = 1, high_speed_weight = 1; ///< see SubstituteRules

    [[nodiscard]] double weightAt(double lift_mm) const;
};

/// Weights after the rules: low speed, high speed, or 1. Nothing between the lifts.
[[nodiscard]] TargetCurve targetCurve(const SubstituteRules& rules, std::vector<double> lifts_mm,
                                      std::vector<double> pressures_mpa);

/// The same curve with all lifts weighing alike.
[[nodiscard]] TargetCurve unweighted(TargetCurve curve);

/// The target's curve, as it is wanted, over the working lift; none where it cannot be computed, with the
/// reason.
struct TargetCurveOrReason {
    std::optional<TargetCurve> curve;
    std::string reason;
};
[[nodiscard]] TargetCurveOrReason computeTargetCurve(const SubstituteRequest& request,
                                                     const GridOptions& grid = GridOptions::searchGrid());

} // namespace shimledger::planner
