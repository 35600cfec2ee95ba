// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/damping/orifice.h"

#include <cmath>

namespace shimledger::planner {

namespace {

constexpr double pa_per_mpa = 1e6;
constexpr double mm_per_m = 1000;
constexpr double turning_flow_number = 1000;

} // namespace

double orificeFlow(const Orifice& orifice, double drop_mpa, const OilState& oil) {
    if (orifice.area_mm2 <= 0 || drop_mpa <= 0) return 0;
    const double jet_mm_s = mm_per_m * std::sqrt(2 * pa_per_mpa * drop_mpa / oil.density_kg_m3);
    const double flow_number = orifice.hydraulic_diameter_mm * jet_mm_s / oil.viscosity_mm2_s;
    return orifice.discharge * std::tanh(2 * flow_number / turning_flow_number) * orifice.area_mm2 * jet_mm_s;
}

double turbulentDrop(double area_mm2, double discharge, double flow_mm3_s, const OilState& oil) {
    const double jet_m_s = flow_mm3_s / (discharge * area_mm2) / mm_per_m;
    return oil.density_kg_m3 * jet_m_s * jet_m_s / 2 / pa_per_mpa;
}

} // namespace shimledger::planner
