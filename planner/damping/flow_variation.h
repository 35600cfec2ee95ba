// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/stack/valve_flow.h"

#include <array>
#include <vector>

namespace shimledger::planner {

struct FigureRange {
    double least = 0, greatest = 0;
};

/// Coefficients of discharge as published: sharp edges 0.60 to 0.65 (Rabie, Fluid Power Engineering, p. 27,
/// after Merritt 1967), short tubes about 0.8 (handbook table; tests/planner/data/fluids.csv has the rows
/// that were read).
inline constexpr FigureRange published_discharges{0.60, 0.80};
/// An oil's viscosity against that of its grade: ISO 3448 allows a tenth either way (ASTM D2422).
inline constexpr FigureRange published_viscosity_parts{0.9, 1.1};
/// From a cold start to a damper that works hard (common practice, no source).
inline constexpr FigureRange working_temperatures_c{0, 80};
/// At which curves are told.
inline constexpr std::array<double, 4> told_temperatures_c{0, 20, 40, 80};

/// What a shop cannot measure about a valve, chosen somewhere in its range.
struct FlowVariation {
    double curtain_discharge = 0.7;
    double port_discharge = 0.7;
    double bleed_discharge = 0.7;
    double viscosity_part = 1; ///< of the data sheet's viscosity, at every temperature
    double temperature_c = 40;
};

/// Its figures, as they are numbered where they are varied one by one.
inline constexpr std::array<double FlowVariation::*, 5> varied_figures{
    &FlowVariation::curtain_discharge, &FlowVariation::port_discharge, &FlowVariation::bleed_discharge,
    &FlowVariation::viscosity_part, &FlowVariation::temperature_c};

[[nodiscard]] ValveFlow varied(const ValveFlow& flow, const FlowVariation& variation);

/// By figure: the published discharges, widened to take in a valve's own, the oil's grade, and the
/// temperatures.
[[nodiscard]] std::array<FigureRange, varied_figures.size()>
variationRanges(const ValveFlow& flow, const FigureRange& temperatures_c);

/// The ends between which every force lies: a force falls with each discharge and rises with the viscosity.
[[nodiscard]] FlowVariation mostForce(const ValveFlow& flow, const FigureRange& temperatures_c);
[[nodiscard]] FlowVariation leastForce(const ValveFlow& flow, const FigureRange& temperatures_c);
/// The variation that needs the most pressure beneath the face disc at a speed: wide ports, all else narrow.
[[nodiscard]] FlowVariation mostPressureBeneath(const ValveFlow& flow, const FigureRange& temperatures_c);

/// A grid over all ranges: the ends and the middle of each discharge that matters, thin to thick oils.
[[nodiscard]] std::vector<FlowVariation> variationGrid(const ValveFlow& flow,
                                                       const FigureRange& temperatures_c);

} // namespace shimledger::planner
