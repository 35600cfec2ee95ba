// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/lift_model.h"
#include "planner/stack/stack_spec.h"

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::planner {

/// A thickness tolerance class of strip: half-width of the allowed band by nominal thickness.
/// Source of the built-in ones: EN ISO 9445-1 (narrow strip below 125 mm), as quoted by BSSA.
enum class ToleranceClass { normal, fine, precision };

[[nodiscard]] std::string toleranceClassName(ToleranceClass tolerance);
[[nodiscard]] std::optional<ToleranceClass>
parseToleranceClass(std::string_view text); ///< "normal", "fine", "precision"

/// Half-width of the tolerance band in mm; the standard's steps (lower bound included), thinnest step below
/// it.
[[nodiscard]] double toleranceHalfWidth(ToleranceClass tolerance, double thickness_mm);

/// What is known of the discs of one row.
struct RowThickness {
    double nominal_mm = 0;
    std::optional<double> measured_mm; ///< mean of the lot's readings; the curve is shifted by it
    double reading_spread_mm = 0;      ///< standard deviation between discs of the lot, where read
};

/// The spread of pressure at given lifts, as relative standard deviations. Two causes are kept apart:
/// disc-to-disc scatter, independent from disc to disc, and lot-to-lot bias, common to all discs of a row.
/// Assumption: a tolerance band is +-3 standard deviations wide, half its variance between lots and
/// half between discs (common practice, no source); a measured lot has no bias beyond 2 um (micrometer).
struct ScatterBand {
    std::vector<double> lifts_mm;
    std::vector<double> pressures_mpa; ///< of the stack with its measured thicknesses
    std::vector<double> disc_to_disc;  ///< relative standard deviation of pressure
    std::vector<double> lot_to_lot;
    std::vector<double> low_mpa, high_mpa; ///< two standard deviations of both causes together

    /// Largest half-width of the band relative to the curve.
    [[nodiscard]] double widest() const;
};

/// First-order sensitivities by central differences of each row's thickness (one lot per row).
/// `thicknesses` by row; empty: nominal, nothing measured. None where the stack cannot be solved.
[[nodiscard]] std::optional<ScatterBand> scatterBand(const StackSpec& stack,
                                                     std::span<const RowThickness> thicknesses,
                                                     std::span<const double> lifts_mm,
                                                     ToleranceClass tolerance, Regime regime = Regime::large);

} // namespace shimledger::planner
