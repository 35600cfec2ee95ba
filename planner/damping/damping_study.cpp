// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/damping/damping_study.h"

#include "planner/mechanics/disc_friction.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace shimledger::planner {

namespace {

constexpr double thinnest_of_d341_mm2_s = 2;

void checkSpeeds(std::span<const double> speeds_m_s) {
    double last = 0;
    for (const double speed : speeds_m_s) {
        if (!(speed > last) || !std::isfinite(speed))
            throw std::logic_error("shaft speeds must be above 0 and ascending");
        last = speed;
    }
    if (speeds_m_s.empty()) throw std::logic_error("a study needs a shaft speed");
}

/// The flows that take the opening furthest: the valve as it is and at all that it is told for.
std::vector<ValveFlow> coveredFlows(const ValveFlow& flow) {
    const FigureRange present{flow.temperature_c, flow.temperature_c};
    return {flow, varied(flow, mostPressureBeneath(flow, present)),
            varied(flow, mostPressureBeneath(flow, working_temperatures_c))};
}

std::vector<double> forcesOf(const ValveFlow& flow, const OpeningCurve& opening,
                             std::span<const double> speeds_m_s) {
    std::vector<double> forces;
    for (const DampingPoint& point : DampingValve(flow, opening).atSpeeds(speeds_m_s))
        forces.push_back(point.force_n);
    return forces;
}

/// A sentence without figures that a locale could touch.
void addWarnings(const DampedStack& damped, DampingStudy& study) {
    const ValveGeometry& valve = damped.stack.valve();
    const double outer = valve.port_outer_diameter.millimetres() / 2;
    const double inner = std::max(valve.port_inner_diameter.millimetres(), valve.clamp_od.millimetres()) / 2;
    if (damped.flow.port_area_mm2 > std::numbers::pi * (outer * outer - inner * inner))
        study.warnings.emplace_back(
            "The ports' area is more than the port diameters leave room for: check it.");
    if (oilAt(damped.flow.oil, damped.flow.temperature_c).viscosity_mm2_s < thinnest_of_d341_mm2_s)
        study.warnings.emplace_back(
            "So hot the oil is thinner than 2 mm2/s, where its viscosity is only rough.");
    if (!study.opening.caution.empty()) study.warnings.push_back(study.opening.caution);
}

} // namespace

DampingStudy studyDamping(const DampedStack& damped, std::span<const double> speeds_m_s) {
    checkSpeeds(speeds_m_s);
    DampingStudy study;
    study.opening = openingOverFlow(damped.stack, coveredFlows(damped.flow), speeds_m_s.back());
    addWarnings(damped, study);
    if (!study.opening.curve) return study;
    const OpeningCurve& opening = *study.opening.curve;
    const DampingValve valve(damped.flow, opening);
    study.points = valve.atSpeeds(speeds_m_s);
    const std::span<const double> reached = speeds_m_s.first(study.points.size());
    const FigureRange present{damped.flow.temperature_c, damped.flow.temperature_c};
    const std::vector<double> least =
        forcesOf(varied(damped.flow, leastForce(damped.flow, present)), opening, reached);
    const std::vector<double> most =
        forcesOf(varied(damped.flow, mostForce(damped.flow, present)), opening, reached);
    for (std::size_t i = 0; i < std::min(least.size(), most.size()); ++i)
        study.force_band_n.push_back({least[i], most[i]});
    const std::vector<double> falling =
        forcesOf(damped.flow, opening.withFriction(-usual_friction_coefficient), reached);
    const std::vector<double> rising =
        forcesOf(damped.flow, opening.withFriction(usual_friction_coefficient), reached);
    // Where a gap closes between two points of the opening, the curves between them may cross by a hair.
    for (std::size_t i = 0; i < std::min(falling.size(), rising.size()); ++i) {
        const double force_n = study.points[i].force_n;
        study.friction_band_n.push_back({std::min(falling[i], force_n), std::max(rising[i], force_n)});
    }
    for (const double temperature : told_temperatures_c) {
        ValveFlow flow = damped.flow;
        flow.temperature_c = temperature;
        study.forces_by_temperature.push_back(forcesOf(flow, opening, reached));
    }
    if (const std::optional<double> backing = damped.flow.backing_pressure_mpa)
        study.cavitation_speed_m_s = valve.speedAtDrop(*backing);
    return study;
}

} // namespace shimledger::planner
