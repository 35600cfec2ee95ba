// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/stack/valve_flow.h"

namespace shimledger::planner {

/// An oil at one temperature.
struct OilState {
    double density_kg_m3 = 0;
    double viscosity_mm2_s = 0; ///< kinematic
};

/// Viscosity v by ASTM D341 through the oil's two points,
///     log10 log10 (v + 0.7) = A - B log10 T,   T = C + 273.15,
/// without the standard's further terms, which matter below 2 mm2/s (from memory); at most 1e7 mm2/s.
/// Density: that at 15 C times 1 - 0.00075 (T - 15 C) (common practice, no source).
/// Checked against /tests/planner/data/fluids.csv.
[[nodiscard]] OilState oilAt(const Oil& oil, double temperature_c);

} // namespace shimledger::planner
