// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/lobed_stack.h"

#include "planner/mechanics/hermite_element.h"
#include "planner/mechanics/round_shape.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <utility>

namespace shimledger::planner {

namespace {

// Of the mesh along the radius; the branch is softer than the round curve and needs no nodes at the port's
// end.
constexpr GridOptions grid{
    .largest_step_mm = 0.8, .subdivisions = 1, .membrane_modes = 10, .port_step_mm = 0};
constexpr double lobed_load_part = 0.005; // leads off the round branch
constexpr int most_rounds = 60;
constexpr int free_rounds = 20; // of a start that may mislead
constexpr int full_steps = 5;   // then contacts that open and close in turn are held back by shorter ones
constexpr double settled_step_mm = 1e-5; // what is left after such a step is its square
// Contacts that still change in turn after so many rounds move the rim by a ten-thousandth of its lift.
constexpr int patient_rounds = 8;
constexpr double nearly_settled_step_mm = 4e-5;
constexpr auto deflections = LobedContacts::deflection_places;

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

} // namespace

LobedStack::LobedStack(const StackSpec& stack, const GroupedStack& grouped, int lobes,
                       double start_pressure_mpa)
    : m_layout(makeContactLayout(stack.valve(), grouped.shapes, grid)), m_shapes(grouped.shapes),
      m_preload_mm(stack.valve().preload.millimetres()) {
    const double clamp = stack.valve().clamp_od.millimetres() / 2;
    for (int g = 0; g < m_layout.groupCount(); ++g) {
        const GroupShape& shape = m_shapes[at(g)];
        m_plate_of_group.push_back(m_layout.node_count[at(g)] > 0 ? static_cast<int>(m_plates.size()) : -1);
        if (m_layout.node_count[at(g)] == 0) continue;
        std::vector<double> mesh = m_layout.radiiOfGroup(g);
        if (!shape.ring) mesh.insert(mesh.begin(), clamp);
        const double nu = shape.poisson_ratio;
        m_plates.emplace_back(std::move(mesh), lobes, grouped.sums[at(g)].membrane_n_per_mm / (1 - nu * nu),
                              grouped.sums[at(g)].bending_n_mm / (12 * (1 - nu * nu)), nu);
    }
    numberDofs();
    std::vector<double> heights(m_shapes.size());
    std::vector<double> gaps(m_layout.pairs.size());
    restGaps(m_layout, m_shapes, grouped.sums.data(), heights.data(), gaps.data());
    addContacts(gaps);
    m_load = Eigen::VectorXd::Zero(m_state.size());
    const double from = stack.valve().port_inner_diameter.millimetres() / 2;
    const double to = stack.valve().port_outer_diameter.millimetres() / 2;
    for (int e = 0; e < m_plates.front().elementCount(); ++e) {
        const LobedPlate::Vector load = m_plates.front().pressureLoad(e, from, to, lobed_load_part);
        for (int field = 0; field < LobedPlate::fields; ++field) {
            for (int i = 0; i < 4; ++i) {
                m_load((e + i / 2) * LobedPlate::dofs_per_node + 2 * field + i % 2) += load(4 * field + i);
            }
        }
    }
    bool strained = m_preload_mm > 0;
    for (const double gap : gaps) strained = strained || gap < 0;
    m_started = true;
    if (strained) {
        m_started = toPressure(0);
        m_rest_edge_mm = rim().mean_mm;
    }
    if (m_started && startRound(stack, grouped, start_pressure_mpa)) return;
    double step = start_pressure_mpa / 5;
    while (m_started && m_pressure < start_pressure_mpa) {
        if (!toPressure(std::min(start_pressure_mpa, m_pressure + step))) {
            step /= 2;
            m_started = step > 1e-3 * start_pressure_mpa;
        }
    }
}

// The round solution has all deflections right, and the in-plane part follows from them in one step, since
// the energy is quadratic in it.
bool LobedStack::startRound(const StackSpec& stack, const GroupedStack& grouped, double pressure_mpa) {
    const LiftModel model(stack.valve(), grouped.shapes, grid);
    LiftWorkspace workspace = model.makeWorkspace();
    std::vector<StackState> states;
    if (!model.statesAtPressures(grouped.sums, std::vector{pressure_mpa}, Regime::large, workspace, states)
             .converged)
        return false;
    Eigen::VectorXd x = Eigen::VectorXd::Zero(m_state.size());
    RoundShape round;
    for (int g = 0; g < m_layout.groupCount(); ++g) {
        const PlateTables* tables = model.tables(g);
        if (m_plate_of_group[at(g)] < 0 || tables == nullptr) continue;
        round.take(*tables, m_shapes[at(g)].ring,
                   states.front().deflection_mm.data() + m_layout.first_dof[at(g)], 0);
        for (int place = 0; place < round.placeCount(); ++place) {
            const int base = m_first[at(g)] + place * LobedPlate::dofs_per_node;
            x(base) = round.deflection_mm[at(place)];
            x(base + 1) = round.slope[at(place)];
        }
    }
    m_touching_mm = 1e-9; // what touches in the round solution has a gap of 0 and shall press
    const bool solved = solve(pressure_mpa, std::move(x), free_rounds);
    m_touching_mm = 0;
    return solved;
}

void LobedStack::numberDofs() {
    int size = 0;
    for (int g = 0; g < m_layout.groupCount(); ++g) {
        m_first.push_back(size);
        if (m_plate_of_group[at(g)] < 0) continue;
        const LobedPlate& plate = m_plates[at(m_plate_of_group[at(g)])];
        for (std::size_t node = 0; node < plate.radii_mm.size(); ++node) {
            const bool clamped = node == 0 && !m_shapes[at(g)].ring;
            for (int i = 0; i < LobedPlate::dofs_per_node; ++i) {
                // At the clamp all values vanish, and the slopes of w; the slopes of u and v are free.
                const bool deflection =
                    std::find(deflections.begin(), deflections.end(), i & ~1) != deflections.end();
                const bool held = clamped && (i % 2 == 0 || deflection);
                m_free.push_back(held ? -1 : m_unknowns++);
            }
        }
        size = static_cast<int>(m_free.size());
    }
    m_state = Eigen::VectorXd::Zero(size);
}

int LobedStack::nodeBase(int group, int dof) const {
    const int node = dof - m_layout.first_dof[at(group)] + (m_shapes[at(group)].ring ? 0 : 1);
    return m_first[at(group)] + node * LobedPlate::dofs_per_node;
}

void LobedStack::addContacts(const std::vector<double>& rest_gaps) {
    const std::vector<double>& radii = m_layout.node_radii_mm;
    const auto area = [&](int node) {
        const double before = node > 0 ? radii[at(node - 1)] : radii[at(node)] - grid.largest_step_mm;
        const double after = at(node + 1) < radii.size() ? radii[at(node + 1)] : radii[at(node)];
        return 2 * std::numbers::pi * radii[at(node)] * (after - before) / 2;
    };
    for (std::size_t i = 0; i < m_layout.pairs.size(); ++i) {
        const ContactLayout::Pair& pair = m_layout.pairs[i];
        m_contacts.add({nodeBase(pair.lower_group, pair.lower_dof),
                        nodeBase(pair.upper_group, pair.upper_dof), rest_gaps[i], area(pair.node)});
    }
    if (m_layout.seat_dof >= 0) {
        // The seat lies below the face disc: w >= preload.
        m_contacts.add({-1, nodeBase(0, m_layout.seat_dof), -m_preload_mm, area(m_layout.seat_dof)});
    }
}

void LobedStack::assemble(const Eigen::VectorXd& x, double pressure, Eigen::VectorXd& residual) {
    m_system.clear();
    residual = -pressure * m_load;
    LobedPlate::Matrix tangent;
    LobedPlate::Vector force, dofs;
    std::array<int, LobedPlate::element_dofs> index{};
    for (int g = 0; g < m_layout.groupCount(); ++g) {
        if (m_plate_of_group[at(g)] < 0) continue;
        const LobedPlate& plate = m_plates[at(m_plate_of_group[at(g)])];
        for (int e = 0; e < plate.elementCount(); ++e) {
            for (int k = 0; k < LobedPlate::element_dofs; ++k) {
                const int field = k / 4, i = k % 4;
                index[at(k)] = m_first[at(g)] + (e + i / 2) * LobedPlate::dofs_per_node + 2 * field + i % 2;
                dofs(k) = x(index[at(k)]);
            }
            plate.evaluate(e, dofs, tangent, force);
            for (int a = 0; a < LobedPlate::element_dofs; ++a) {
                residual(index[at(a)]) += force(a);
                const int row = m_free[at(index[at(a)])];
                for (int b = 0; row >= 0 && b < LobedPlate::element_dofs; ++b) {
                    const int column = m_free[at(index[at(b)])];
                    const double value = a >= b ? tangent(a, b) : tangent(b, a);
                    if (column >= 0 && column <= row) m_system.add(row, column, value);
                }
            }
        }
        if (m_shapes[at(g)].ring) { // something to rest on where nothing touches it
            const int base = m_first[at(g)];
            m_system.add(m_free[at(base)], m_free[at(base)], 1e-3);
            residual(base) += 1e-3 * x(base);
        }
    }
    m_contacts.addTo(x, m_touching_mm, m_free, m_system, residual);
}

bool LobedStack::toPressure(double pressure_mpa) {
    // A straight step on from the last two states is closer than the last one; where it misleads (a contact
    // changes), the last one is tried as well.
    if (m_before.size() > 0 && m_pressure > m_before_pressure) {
        const double ahead = (pressure_mpa - m_pressure) / (m_pressure - m_before_pressure);
        if (ahead <= 2 && solve(pressure_mpa, m_state + ahead * (m_state - m_before), free_rounds))
            return true;
    }
    return solve(pressure_mpa, m_state, most_rounds);
}

bool LobedStack::solve(double pressure_mpa, Eigen::VectorXd x, int rounds) {
    Eigen::VectorXd residual, right(m_unknowns), step = Eigen::VectorXd::Zero(x.size());
    for (int round = 0; round < rounds; ++round) {
        assemble(x, pressure_mpa, residual);
        m_touching_mm = 0;
        if (!m_system.factor(m_unknowns)) return false;
        for (std::size_t i = 0; i < m_free.size(); ++i) {
            if (m_free[i] >= 0) right(m_free[i]) = -residual(static_cast<Eigen::Index>(i));
        }
        const Eigen::VectorXd solution = m_system.solve(right);
        if (!solution.allFinite()) return false;
        for (std::size_t i = 0; i < m_free.size(); ++i) {
            if (m_free[i] >= 0) step(static_cast<Eigen::Index>(i)) = solution(m_free[i]);
        }
        const double largest = solution.lpNorm<Eigen::Infinity>();
        const double part = round < full_steps ? 1.0 : m_contacts.stepPart(x, step, residual);
        x += part * step;
        if (largest < (round < patient_rounds ? settled_step_mm : nearly_settled_step_mm)) {
            m_before = std::move(m_state);
            m_before_pressure = m_pressure;
            m_state = std::move(x);
            m_pressure = pressure_mpa;
            return true;
        }
    }
    return false;
}

LobedStack::Rim LobedStack::rim() const {
    const int base = nodeBase(0, m_layout.edge_dof);
    const double mean = m_state(base + deflections[0]);
    Rim rim{mean - m_rest_edge_mm, 1e300, -1e300};
    constexpr int samples = 180;
    for (int i = 0; i <= samples; ++i) {
        const double phase = std::numbers::pi * i / samples;
        const double lift = mean - m_rest_edge_mm + m_state(base + deflections[1]) * std::cos(phase) +
                            m_state(base + deflections[2]) * std::cos(2 * phase);
        rim.min_mm = std::min(rim.min_mm, lift);
        rim.max_mm = std::max(rim.max_mm, lift);
    }
    return rim;
}

double LobedStack::meanDeflection(double radius_mm) const {
    const std::vector<double>& radii = m_plates[at(m_plate_of_group.front())].radii_mm;
    std::size_t e = 0;
    while (e + 2 < radii.size() && radii[e + 1] < radius_mm) ++e;
    const double h = radii[e + 1] - radii[e];
    const HermiteValues values = hermiteValues((radius_mm - radii[e]) / h, h);
    double deflection = 0;
    for (std::size_t i = 0; i < 4; ++i) {
        const int node = static_cast<int>(e + i / 2);
        deflection += values.value[i] * m_state(m_first.front() + node * LobedPlate::dofs_per_node +
                                                deflections[0] + static_cast<int>(i % 2));
    }
    return deflection;
}

} // namespace shimledger::planner
