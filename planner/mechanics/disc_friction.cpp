// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/disc_friction.h"

#include "planner/mechanics/dot_product.h"

#include <algorithm>
#include <array>
#include <cmath>

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

DiscFriction::DiscFriction(const StackSpec& stack, const GroupedStack& grouped, const LiftModel& model)
    : m_model(&model), m_groups(grouped.shapes.size()) {
    std::vector<GroupSums> so_far(m_groups.size());
    for (std::size_t row = 0; row < stack.rows().size(); ++row) {
        const DiscRow& discs = stack.rows()[row];
        const auto g = at(grouped.group_of_row[row]);
        Group& group = m_groups[g];
        const double thickness = discs.thickness.millimetres();
        const GroupSums one = sumsOf(1, thickness, discs.material.elastic_modulus_mpa);
        for (int disc = 0; disc < discs.count; ++disc) {
            if (group.first_mm == 0) {
                group.first_mm = thickness;
            } else {
                const double lever = (group.last_mm + thickness) / 2;
                const double bending = so_far[g].bending_n_mm / grouped.sums[g].bending_n_mm;
                const double membrane = so_far[g].membrane_n_per_mm / grouped.sums[g].membrane_n_per_mm;
                group.lever_of_load += lever * (1 - bending);
                group.lever_of_contact += lever * bending;
                group.lever_of_membrane += lever * (bending - membrane);
            }
            so_far[g].bending_n_mm += one.bending_n_mm;
            so_far[g].membrane_n_per_mm += one.membrane_n_per_mm;
            group.last_mm = thickness;
        }
    }
    for (std::size_t g = 0; g < m_groups.size(); ++g) {
        const double nu = grouped.shapes[g].poisson_ratio;
        m_groups[g].rigidity_n_mm = grouped.sums[g].bending_n_mm / (12 * (1 - nu * nu));
        m_groups[g].membrane_n_per_mm = grouped.sums[g].membrane_n_per_mm;
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
                m_groups[at(g)].membrane_n_per_mm * amplitude * row[at(i)];
    }
    const double bubble = g == 0 ? 1 / m_groups.front().rigidity_n_mm : 0.0; // the face between its nodes
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

FrictionHalfWidth DiscFriction::halfWidth(const StackState& state, Regime regime, double coefficient) const {
    const ContactLayout& layout = m_model->layout();
    const auto dofs = state.deflection_mm.size();
    Sliding sliding(dofs);
    for (int g = 0; g < layout.groupCount(); ++g) addGroup(g, state, regime, sliding);
    double lift_mm = 0, work = 0;
    const auto rub = [&](double force_n, double by_pressure, double by_edge) {
        work += force_n * std::abs(by_pressure);
        lift_mm += force_n * std::copysign(by_edge, by_edge * by_pressure);
    };
    std::vector<double> from_below(dofs, 0.0), onward(dofs, 0.0);
    for (std::size_t i = 0; i < layout.pairs.size(); ++i) {
        const ContactLayout::Pair& pair = layout.pairs[i];
        const double force = state.contact_force_n[i];
        const auto lower = at(pair.lower_dof), upper = at(pair.upper_dof);
        onward[lower] += force;
        from_below[upper] += force;
        const double lower_lever = m_groups[at(pair.lower_group)].last_mm / 2;
        const double upper_lever = m_groups[at(pair.upper_group)].first_mm / 2;
        const auto slip = [&](const Sliding::Motion& motion) {
            return lower_lever * motion.slope[lower] + upper_lever * motion.slope[upper] +
                   motion.outward_mm[upper] - motion.outward_mm[lower];
        };
        rub(force, slip(sliding.by_pressure), slip(sliding.by_edge));
    }
    rub(state.pressure_mpa * m_groups.front().lever_of_load, sliding.by_pressure.port_slope_mm2,
        sliding.by_edge.port_slope_mm2);
    for (int g = 0; g < layout.groupCount(); ++g) {
        const Group& group = m_groups[at(g)];
        for (int i = layout.first_dof[at(g)]; i < layout.first_dof[at(g + 1)]; ++i) {
            const auto dof = at(i);
            const double moment = group.lever_of_load * from_below[dof] +
                                  group.lever_of_contact * onward[dof] +
                                  group.lever_of_membrane * sliding.membrane_force_n[dof];
            rub(moment, sliding.by_pressure.slope[dof], sliding.by_edge.slope[dof]);
        }
    }
    const double swept = sliding.swept_mm3_per_mpa;
    return {coefficient * lift_mm, swept > 0 ? coefficient * work / swept : 0.0};
}

} // namespace shimledger::planner
