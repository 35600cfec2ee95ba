// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

namespace shimledger::planner {

/// An oil by what its data sheet says.
struct Oil {
    double density_15c_kg_m3 = 0;
    double viscosity_40c_mm2_s = 0;
    double viscosity_100c_mm2_s = 0;
    double viscosity_part = 1; ///< of what the data sheet leads to, at every temperature; no file has it

    bool operator==(const Oil&) const = default;
};

/// One place of an adjuster that works as a bleed, counted out from closed.
struct AdjusterClick {
    int click = 0;
    double bleed_diameter_mm = 0; ///< of a round hole with the same area

    bool operator==(const AdjusterClick&) const = default;
};

/// What the oil meets in one valve beside its stack, in one direction: the "flow" of STACK.json (flow_json.h
/// has the ranges). Default values are those of the contract; areas are of all holes together.
struct ValveFlow {
    double swept_area_mm2 = 0; ///< of the valve's flow: shaft speed times this area
    double force_area_mm2 = 0; ///< the pressure drop acts on; the swept area unless given
    double port_area_mm2 = 0;  ///< narrowest section of the ports under the stack
    double port_discharge = 0.7;
    double open_share = 1.0; ///< part of the port's rim over which oil leaves under the face disc
    double curtain_discharge = 0.7;
    double bleed_diameter_mm = 0; ///< 0: none
    double bleed_discharge = 0.7;
    double temperature_c = 40;
    Oil oil;
    std::vector<AdjusterClick> clicks; ///< ascending; empty: no adjuster
    std::optional<int> click;          ///< where it stands; bleed_diameter_mm is then the one of this click
    /// Gauge pressure that stands behind the valve: of the gas, or what a base valve holds. None: unknown.
    std::optional<double> backing_pressure_mpa;

    bool operator==(const ValveFlow&) const = default;
};

} // namespace shimledger::planner
