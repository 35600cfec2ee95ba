// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/disc_friction.h"

#include "planner/mechanics/dot_product.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace shimledger::planner {

namespace {

// Terms of the membrane's forces, the largest first, whose part in the loop is felt.
constexpr int felt_modes = 4;

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

} // namespace

/// How the discs slide, by dof: slopes and outward displacements that belong to 1 MPa more and to 1 N on the
/// edge; and the membrane's forces.
struct DiscFriction::Sliding {
    struct Motion {
        std::vector<double> slope, outward_mm;
        double port_slope_mm2 = 0; ///< integral of the face's slope over the port
    };
    explicit Sliding(std::size_t dofs) : membrane_force_n(dofs, 0.0), scratch(dofs, 0.0) {
        for (Motion* motion : {&by_pressure, &by_edge}) {
            motion->slope.assign(dofs, 0.0);
            motion->outward_mm.assign(dofs, 0.0);
        }
    }
    Motion by_pressure, by_edge;
    std::vector<double> membrane_force_n, scratch;
    double swept_mm3_per_mpa = 0;
};

double FrictionTerms::halfWidthMm(std::span<const DiscLevers> levers) const {
    double half_mm = constant_mm;
    for (std::size_t g = 0; g < of_group.size(); ++g) half_mm += dot(of_group[g], levers[g]);
    return half_mm;
}

DiscFriction::DiscFriction(const StackSpec& stack, const GroupedStack& grouped, const LiftModel& model)
    : DiscFriction(discLevers(stack, grouped), grouped.sums, model) {}

DiscFriction::DiscFriction(std::vector<DiscLevers> levers, std::span<const GroupSums> sums,
                           const LiftModel& model)
    : m_model(&model), m_levers(std::move(levers)) {
    for (std::size_t g = 0; g < sums.size(); ++g) {
        const double nu = model.shapes()[g].poisson_ratio;
        m_stiffness.push_back({sums[g].bending_n_mm / (12 * (1 - nu * nu)), sums[g].membrane_n_per_mm});
    }
}

void DiscFriction::addGroup(int g, const StackState& state, Regime regime, Sliding& sliding) const {
    const PlateTables* tables = m_model->tables(g);
    if (tables == nullptr) return;
    const int nodes = tables->node_count;
    const int modes = regime == Regime::large ? std::min(tables->mode_count, felt_modes) : 0;
    const int first = m_model->layout().first_dof[at(g)];
    const double* deflection = state.deflection_mm.data() + first;
    const double* by_pressure = state.response_mm_per_mpa.data() + first;
    const double* by_edge = state.edge_influence_mm_per_n.data() + first;
    std::array<double, felt_modes> amplitudes_by_pressure{}, amplitudes_by_edge{};
    std::vector<double>& row = sliding.scratch; // of a dof each
    for (int k = 0; k < modes; ++k) {
        const double* tensor = tables->membrane.data() + at(k) * at(nodes) * at(nodes);
        for (int i = 0; i < nodes; ++i) row[at(i)] = dotProduct(tensor + i * nodes, deflection, nodes);
        const double amplitude = 0.5 * dotProduct(row.data(), deflection, nodes);
        amplitudes_by_pressure[at(k)] = dotProduct(row.data(), by_pressure, nodes);
        amplitudes_by_edge[at(k)] = dotProduct(row.data(), by_edge, nodes);
        for (int i = 0; i < nodes; ++i)
            sliding.membrane_force_n[at(first + i)] +=
                m_stiffness[at(g)].membrane_n_per_mm * amplitude * row[at(i)];
    }
    const double bubble = g == 0 ? 1 / m_stiffness.front().rigidity_n_mm : 0.0; // the face between its nodes
    for (int i = 0; i < nodes; ++i) {
        const std::size_t fine = tables->fine_of_node[at(i)];
        const double* slope = tables->slope.data() + fine * at(nodes);
        const double* outward = tables->membrane_displacement.data() + fine * at(tables->mode_count);
        const auto dof = at(first + i);
        sliding.by_pressure.slope[dof] =
            dotProduct(slope, by_pressure, nodes) + bubble * tables->pressure_slope[fine];
        sliding.by_edge.slope[dof] = dotProduct(slope, by_edge, nodes);
        if (modes == 0) continue;
        sliding.by_pressure.outward_mm[dof] = dotProduct(outward, amplitudes_by_pressure.data(), modes);
        sliding.by_edge.outward_mm[dof] = dotProduct(outward, amplitudes_by_edge.data(), modes);
    }
    if (g > 0) return;
    sliding.swept_mm3_per_mpa =
        dotProduct(tables->pressure_load.data(), by_pressure, nodes) + bubble * tables->pressure_volume;
    sliding.by_pressure.port_slope_mm2 = dotProduct(tables->slope_integral.data(), by_pressure, nodes) +
                                         bubble * tables->pressure_slope_integral;
    sliding.by_edge.port_slope_mm2 = dotProduct(tables->slope_integral.data(), by_edge, nodes);
}

/// Every contact's force times how far it slides, and the direction that friction holds against it in. A
/// group's own interfaces are summed by its levers.
DiscFriction::Loop DiscFriction::loopAt(const StackState& state, Regime regime) const {
    const ContactLayout& layout = m_model->layout();
    const auto dofs = state.deflection_mm.size();
    Sliding sliding(dofs);
    for (int g = 0; g < layout.groupCount(); ++g) addGroup(g, state, regime, sliding);
    Loop loop;
    loop.swept_mm3_per_mpa = sliding.swept_mm3_per_mpa;
    loop.lift.of_group.resize(m_levers.size());
    loop.work.of_group.resize(m_levers.size());
    const std::array<std::pair<FrictionTerms*, const Sliding::Motion*>, 2> parts{
        {{&loop.lift, &sliding.by_edge}, {&loop.work, &sliding.by_pressure}}};
    std::vector<double> from_below(dofs, 0.0), onward(dofs, 0.0);
    for (std::size_t i = 0; i < layout.pairs.size(); ++i) {
        const ContactLayout::Pair& pair = layout.pairs[i];
        const double force = state.contact_force_n[i];
        if (force == 0) continue;
        const auto lower = at(pair.lower_dof), upper = at(pair.upper_dof);
        const auto below = at(pair.lower_group), above = at(pair.upper_group);
        onward[lower] += force;
        from_below[upper] += force;
        const Sliding::Motion& sliding_on = sliding.by_pressure;
        const double slip = m_levers[below].last_mm / 2 * sliding_on.slope[lower] +
                            m_levers[above].first_mm / 2 * sliding_on.slope[upper] +
                            sliding_on.outward_mm[upper] - sliding_on.outward_mm[lower];
        const double held = std::copysign(force, slip);
        for (const auto& [terms, motion] : parts) {
            terms->of_group[below].last_mm += held / 2 * motion->slope[lower];
            terms->of_group[above].first_mm += held / 2 * motion->slope[upper];
            terms->constant_mm += held * (motion->outward_mm[upper] - motion->outward_mm[lower]);
        }
    }
    const double load = std::copysign(state.pressure_mpa, sliding.by_pressure.port_slope_mm2);
    for (const auto& [terms, motion] : parts)
        terms->of_group.front().of_load += load * motion->port_slope_mm2;
    for (int g = 0; g < layout.groupCount(); ++g) {
        for (int i = layout.first_dof[at(g)]; i < layout.first_dof[at(g + 1)]; ++i) {
            const auto dof = at(i);
            const double direction = std::copysign(1.0, sliding.by_pressure.slope[dof]);
            for (const auto& [terms, motion] : parts) {
                const double turned = direction * motion->slope[dof];
                DiscLevers& of_group = terms->of_group[at(g)];
                of_group.of_load += turned * from_below[dof];
                of_group.of_contact += turned * onward[dof];
                of_group.of_membrane += turned * sliding.membrane_force_n[dof];
            }
        }
    }
    return loop;
}

FrictionHalfWidth DiscFriction::halfWidth(const StackState& state, Regime regime, double coefficient) const {
    const Loop loop = loopAt(state, regime);
    const double swept = loop.swept_mm3_per_mpa;
    return {coefficient * loop.lift.halfWidthMm(m_levers),
            swept > 0 ? coefficient * loop.work.halfWidthMm(m_levers) / swept : 0.0};
}

FrictionTerms DiscFriction::liftTerms(const StackState& state, Regime regime) const {
    return loopAt(state, regime).lift;
}

} // namespace shimledger::planner
