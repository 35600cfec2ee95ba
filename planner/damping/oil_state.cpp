// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/damping/oil_state.h"

#include <algorithm>
#include <cmath>

namespace shimledger::planner {

namespace {

constexpr double zero_celsius_k = 273.15;
constexpr double viscosity_offset = 0.7;    // ASTM D341
constexpr double expansion_per_k = 0.00075; // common practice, no source
constexpr double thickest_mm2_s = 1e7;      // D341 goes to twice that (from memory); past it figures overflow
constexpr double thickest_double_log = 0.845; // log10 of log10(1e7)

double doubleLog(double viscosity_mm2_s) {
    return std::log10(std::log10(viscosity_mm2_s + viscosity_offset));
}

} // namespace

OilState oilAt(const Oil& oil, double temperature_c) {
    const double at_40 = std::log10(40 + zero_celsius_k);
    const double at_100 = std::log10(100 + zero_celsius_k);
    const double there = std::log10(temperature_c + zero_celsius_k);
    const double thick = doubleLog(oil.viscosity_40c_mm2_s);
    const double thin = doubleLog(oil.viscosity_100c_mm2_s);
    const double double_log = thick + (thin - thick) * (there - at_40) / (at_100 - at_40);
    const double viscosity = double_log > thickest_double_log
                                 ? thickest_mm2_s
                                 : std::pow(10, std::pow(10, double_log)) - viscosity_offset;
    return {oil.density_15c_kg_m3 * (1 - expansion_per_k * (temperature_c - 15)),
            std::min(oil.viscosity_part * viscosity, thickest_mm2_s)};
}

} // namespace shimledger::planner
