// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/damping/oil_state.h"
#include "planner/damping/opening_curve.h"
#include "planner/stack/valve_flow.h"

#include <optional>
#include <span>
#include <vector>

namespace shimledger::planner {

/// What one valve does at one shaft speed.
struct DampingPoint {
    double speed_m_s = 0;
    double force_n = 0;
    double drop_mpa = 0;
    double pressure_beneath_mpa = 0; ///< what of the drop is left beneath the face disc
    Opening opening;
    double bleed_share = 0; ///< part of the flow that passes beside the stack, 0 to 1
    double port_share = 0;  ///< part of the drop that the ports take, 0 to 1
    /// d ln force / d ln stiffness: a stack one per cent stiffer at every lift gives so many per cent more
    /// force.
    double stack_share = 0;
};

/// The flow at one state: a part of a point, before a speed is asked for.
struct ValveFlows {
    double curtain_mm3_s = 0;
    double bleed_mm3_s = 0;
    double port_drop_mpa = 0;

    [[nodiscard]] double total() const { return curtain_mm3_s + bleed_mm3_s; }
};

/// Flows at a pressure beneath the face disc, when it stands open by so much: how every state is told.
[[nodiscard]] ValveFlows valveFlows(const ValveFlow& flow, const OilState& oil, double metering_radius_mm,
                                    double pressure_beneath_mpa, double gap_mm);

/// Force over shaft speed of one valve in steady flow, in one direction.
///
/// Model. The flow is shaft speed times swept area, the force pressure drop times force area. A bleed lies
/// beside two restrictions in series: the ports, turbulent throughout, and the gap under the face disc, which
/// opens by w under the pressure p that is left beneath it (OpeningCurve): area = open share x 2 pi r w with
/// r the port's outer radius, hydraulic diameter 2 w. Gap and bleed follow orificeFlow. All flows rise with
/// p, so that p follows from a speed as the one root of a rising function, to 1e-12 of it. Ranges: those of
/// flow_json.h; speeds above 0 as far as the opening goes. Left out: inertia, the oil's and the hoses' give,
/// gas force, friction of seals, momentum of the jet on the disc, leaks past rings, heat made on the way. A
/// model to compare stacks with, not a dyno. Sources: `orifice.h`, `oil_state.h`; the opening from
/// planner/mechanics. Check values: an independent solver's forces (tests/planner/data/damping_cases.json);
/// closed forms in tests/planner/damping_test.cpp.
///
/// Example: const DampingValve valve(flow, openingOverFlow(stack, {flow}, 2.0).curve);
///          const std::optional<DampingPoint> point = valve.atSpeed(0.1);
class DampingValve {
public:
    /// Throws std::logic_error where the flow's figures are not positive (a bleed may be 0).
    DampingValve(const ValveFlow& flow, const OpeningCurve& opening);

    /// None where the speed (above 0) is past the opening's last point.
    [[nodiscard]] std::optional<DampingPoint> atSpeed(double speed_m_s) const;
    /// The points of these ascending speeds, as many as are known.
    [[nodiscard]] std::vector<DampingPoint> atSpeeds(std::span<const double> speeds_m_s) const;
    /// The speed at which the drop (MPa, above 0) is reached; none past the opening's last point.
    [[nodiscard]] std::optional<double> speedAtDrop(double drop_mpa) const;
    [[nodiscard]] double greatestSpeed() const; ///< that the opening covers

private:
    [[nodiscard]] ValveFlows flowsAt(double pressure_mpa) const;
    [[nodiscard]] double stackShare(double pressure_mpa, const ValveFlows& flows) const;
    template <class Known>
    [[nodiscard]] double root(double wanted, const std::vector<double>& at_knots, Known known) const;

    ValveFlow m_flow;
    OilState m_oil;
    OpeningCurve m_opening;
    std::vector<double> m_flows_at_knots, m_drops_at_knots;
};

} // namespace shimledger::planner
