// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/damping/oil_state.h"

namespace shimledger::planner {

/// A short restriction that oil passes.
struct Orifice {
    double area_mm2 = 0;
    double hydraulic_diameter_mm =
        0; ///< four areas over the wetted edge: of a hole its diameter, of a gap twice its height
    double discharge = 0; ///< C_inf: at large flow numbers
};

/// Flow (mm3/s) at a pressure drop >= 0 (MPa):
///     Q = C A sqrt(2 dp / rho),  C = C_inf tanh(2 lambda / 1000),  lambda = (D_h / nu) sqrt(2 dp / rho),
/// turbulent at large flow numbers lambda, proportional to dp at small ones.
/// Sources: the flow number is McCloy's and Martin's; the tanh form and 1000 for its turn are common practice
/// in simulation (from memory).
[[nodiscard]] double orificeFlow(const Orifice& orifice, double drop_mpa, const OilState& oil);

/// Drop (MPa) that drives a flow (mm3/s) through an orifice that is turbulent throughout.
[[nodiscard]] double turbulentDrop(double area_mm2, double discharge, double flow_mm3_s, const OilState& oil);

} // namespace shimledger::planner
