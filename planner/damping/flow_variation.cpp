// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/damping/flow_variation.h"

#include <algorithm>

namespace shimledger::planner {

namespace {

constexpr int temperature_steps = 5;

FigureRange dischargeRange(double own) {
    return {std::min(own, published_discharges.least), std::max(own, published_discharges.greatest)};
}

std::vector<double> spread(const FigureRange& range, int count) {
    if (range.least == range.greatest) return {range.least};
    std::vector<double> values;
    for (int i = 0; i < count; ++i)
        values.push_back(range.least + (range.greatest - range.least) * i / (count - 1));
    return values;
}

/// The oils of a band, thickest first: cold with what the grade allows, warmer, and hot with the least.
std::vector<FlowVariation> oils(const FigureRange& temperatures_c) {
    const std::vector<double> temperatures = spread(temperatures_c, temperature_steps);
    std::vector<FlowVariation> result;
    for (const double temperature : temperatures) {
        FlowVariation oil;
        oil.temperature_c = temperature;
        if (temperature == temperatures.front()) {
            oil.viscosity_part = published_viscosity_parts.greatest;
            result.push_back(oil);
        }
        oil.viscosity_part = 1;
        result.push_back(oil);
        if (temperature == temperatures.back()) {
            oil.viscosity_part = published_viscosity_parts.least;
            result.push_back(oil);
        }
    }
    return result;
}

} // namespace

ValveFlow varied(const ValveFlow& flow, const FlowVariation& variation) {
    ValveFlow result = flow;
    result.curtain_discharge = variation.curtain_discharge;
    result.port_discharge = variation.port_discharge;
    result.bleed_discharge = variation.bleed_discharge;
    result.oil.viscosity_part *= variation.viscosity_part;
    result.temperature_c = variation.temperature_c;
    return result;
}

std::array<FigureRange, varied_figures.size()> variationRanges(const ValveFlow& flow,
                                                               const FigureRange& temperatures_c) {
    return {dischargeRange(flow.curtain_discharge), dischargeRange(flow.port_discharge),
            dischargeRange(flow.bleed_discharge), published_viscosity_parts, temperatures_c};
}

FlowVariation mostForce(const ValveFlow& flow, const FigureRange& temperatures_c) {
    const auto [curtain, port, bleed, viscosity, temperature] = variationRanges(flow, temperatures_c);
    return {curtain.least, port.least, bleed.least, viscosity.greatest, temperature.least};
}

FlowVariation leastForce(const ValveFlow& flow, const FigureRange& temperatures_c) {
    const auto [curtain, port, bleed, viscosity, temperature] = variationRanges(flow, temperatures_c);
    return {curtain.greatest, port.greatest, bleed.greatest, viscosity.least, temperature.greatest};
}

FlowVariation mostPressureBeneath(const ValveFlow& flow, const FigureRange& temperatures_c) {
    FlowVariation variation = mostForce(flow, temperatures_c);
    variation.port_discharge = dischargeRange(flow.port_discharge).greatest;
    return variation;
}

std::vector<FlowVariation> variationGrid(const ValveFlow& flow, const FigureRange& temperatures_c) {
    const auto ranges = variationRanges(flow, temperatures_c);
    const double own = flow.bleed_discharge;
    const std::vector<double> beside =
        flow.bleed_diameter_mm > 0 ? spread(ranges[2], 3) : std::vector<double>{own};
    std::vector<FlowVariation> variations;
    for (FlowVariation variation : oils(temperatures_c)) {
        for (const double curtain : spread(ranges[0], 3)) {
            for (const double port : spread(ranges[1], 3)) {
                for (const double bleed : beside) {
                    variation.curtain_discharge = curtain;
                    variation.port_discharge = port;
                    variation.bleed_discharge = bleed;
                    variations.push_back(variation);
                }
            }
        }
    }
    return variations;
}

} // namespace shimledger::planner
