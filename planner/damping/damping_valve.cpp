// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/damping/damping_valve.h"

#include "planner/damping/orifice.h"

#include <boost/math/tools/toms748_solve.hpp>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <stdexcept>

namespace shimledger::planner {

namespace {

constexpr double mm_per_m = 1000;
constexpr int bits = 42; // of the root: 2e-13
constexpr std::uintmax_t most_rounds = 100;
constexpr double small_part = 1e-6; // by which derivatives are taken

} // namespace

ValveFlows valveFlows(const ValveFlow& flow, const OilState& oil, double metering_radius_mm,
                      double pressure_beneath_mpa, double gap_mm) {
    const Orifice curtain{flow.open_share * 2 * std::numbers::pi * metering_radius_mm * gap_mm, 2 * gap_mm,
                          flow.curtain_discharge};
    ValveFlows flows;
    flows.curtain_mm3_s = orificeFlow(curtain, pressure_beneath_mpa, oil);
    flows.port_drop_mpa = turbulentDrop(flow.port_area_mm2, flow.port_discharge, flows.curtain_mm3_s, oil);
    const double diameter = flow.bleed_diameter_mm;
    flows.bleed_mm3_s =
        orificeFlow({std::numbers::pi / 4 * diameter * diameter, diameter, flow.bleed_discharge},
                    pressure_beneath_mpa + flows.port_drop_mpa, oil);
    return flows;
}

DampingValve::DampingValve(const ValveFlow& flow, const OpeningCurve& opening)
    : m_flow(flow), m_oil(oilAt(flow.oil, flow.temperature_c)), m_opening(opening) {
    for (const double figure :
         {flow.swept_area_mm2, flow.force_area_mm2, flow.port_area_mm2, flow.port_discharge, flow.open_share,
          flow.curtain_discharge, flow.bleed_discharge, m_oil.density_kg_m3, m_oil.viscosity_mm2_s}) {
        if (!(figure > 0)) throw std::logic_error("a valve's flow needs figures above 0");
    }
    for (const OpeningKnot& knot : m_opening.knots()) {
        const ValveFlows flows = flowsAt(knot.pressure_mpa);
        m_flows_at_knots.push_back(flows.total());
        m_drops_at_knots.push_back(knot.pressure_mpa + flows.port_drop_mpa);
    }
}

ValveFlows DampingValve::flowsAt(double pressure_mpa) const {
    const double gap = m_opening.at(pressure_mpa).gap_mm;
    return valveFlows(m_flow, m_oil, m_opening.meteringRadius(), pressure_mpa, gap);
}

/// Where a rising function of the pressure beneath, known at the opening's knots, takes a value that the last
/// knot reaches.
template <class Known>
double DampingValve::root(double wanted, const std::vector<double>& at_knots, Known known) const {
    const auto upper = std::lower_bound(at_knots.begin() + 1, at_knots.end() - 1, wanted);
    const auto index = static_cast<std::size_t>(upper - at_knots.begin());
    const double low = m_opening.knots()[index - 1].pressure_mpa;
    const double high = m_opening.knots()[index].pressure_mpa;
    const double below = at_knots[index - 1] - wanted, above = at_knots[index] - wanted;
    if (below >= 0) return low;
    if (above <= 0) return high;
    std::uintmax_t rounds = most_rounds;
    const auto [a, b] = boost::math::tools::toms748_solve(
        [&](double pressure) { return known(pressure) - wanted; }, low, high, below, above,
        boost::math::tools::eps_tolerance<double>(bits), rounds);
    return 0.5 * (a + b);
}

/// By differences of the two conditions at one flow: a stack that is stiffer by a small part opens at a
/// pressure as the present one does at that much less.
double DampingValve::stackShare(double pressure_mpa, const ValveFlows& flows) const {
    const double less = pressure_mpa * (1 - small_part);
    const double smaller_gap = m_opening.at(less).gap_mm;
    const ValveFlows stiffer =
        valveFlows(m_flow, m_oil, m_opening.meteringRadius(), pressure_mpa, smaller_gap);
    const ValveFlows lower = valveFlows(m_flow, m_oil, m_opening.meteringRadius(), less, smaller_gap);
    const double flow_by_pressure = flows.total() - lower.total();
    if (flow_by_pressure <= 0) return 0;
    const double pressure_by_stiffness =
        (flows.total() - stiffer.total()) / flow_by_pressure; // relative both
    const double drop = pressure_mpa + flows.port_drop_mpa;
    const double drop_by_pressure = pressure_mpa - less + flows.port_drop_mpa - lower.port_drop_mpa;
    const double change =
        pressure_by_stiffness * drop_by_pressure + stiffer.port_drop_mpa - flows.port_drop_mpa;
    return change / (small_part * drop);
}

std::optional<DampingPoint> DampingValve::atSpeed(double speed_m_s) const {
    if (!(speed_m_s > 0)) throw std::logic_error("a shaft speed must lie above 0");
    const double wanted = mm_per_m * speed_m_s * m_flow.swept_area_mm2;
    if (wanted > m_flows_at_knots.back()) return {};
    DampingPoint point;
    point.speed_m_s = speed_m_s;
    point.pressure_beneath_mpa =
        root(wanted, m_flows_at_knots, [&](double pressure) { return flowsAt(pressure).total(); });
    const ValveFlows flows = flowsAt(point.pressure_beneath_mpa);
    point.opening = m_opening.at(point.pressure_beneath_mpa);
    point.drop_mpa = point.pressure_beneath_mpa + flows.port_drop_mpa;
    point.force_n = point.drop_mpa * m_flow.force_area_mm2;
    point.bleed_share = flows.bleed_mm3_s / wanted;
    point.port_share = flows.port_drop_mpa / point.drop_mpa;
    point.stack_share = stackShare(point.pressure_beneath_mpa, flows);
    return point;
}

std::vector<DampingPoint> DampingValve::atSpeeds(std::span<const double> speeds_m_s) const {
    std::vector<DampingPoint> points;
    for (const double speed : speeds_m_s) {
        const std::optional<DampingPoint> point = atSpeed(speed);
        if (!point) break;
        points.push_back(*point);
    }
    return points;
}

std::optional<double> DampingValve::speedAtDrop(double drop_mpa) const {
    if (drop_mpa > m_drops_at_knots.back()) return {};
    const double beneath = root(drop_mpa, m_drops_at_knots,
                                [&](double pressure) { return pressure + flowsAt(pressure).port_drop_mpa; });
    return flowsAt(beneath).total() / mm_per_m / m_flow.swept_area_mm2;
}

double DampingValve::greatestSpeed() const {
    return m_flows_at_knots.back() / mm_per_m / m_flow.swept_area_mm2;
}

} // namespace shimledger::planner
