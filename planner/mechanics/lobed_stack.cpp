#include "planner/mechanics/lobed_stack.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <utility>

namespace shimledger::planner {

namespace {

constexpr double largest_step_mm = 0.8;   // of the mesh along the radius
constexpr double lobed_load_part = 0.005; // leads off the round branch
// Pressing discs overlap by their pressure over this, some 1e-5 mm, while plates of this size answer with
// some 300 MPa/mm: stiff enough to be a contact, soft enough to solve.
constexpr double contact_stiffness_mpa_per_mm = 5e5;
constexpr int contact_angles = 10; // of half a lobe
constexpr int most_rounds = 60;
constexpr int free_rounds = 15;
constexpr double settled_step_mm = 1e-6; // what is left after such a step is its square
// Where the deflection sits among a node's freedoms (value, slope for each of eight fields).
constexpr std::array<int, 3> deflections = {0, 2, 4};

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

/// Weights of w0, wn, w2n in the deflection at a contact angle, numbered within half a lobe.
std::array<double, 3> harmonics(int angle) {
    const double phase = (angle + 0.5) * std::numbers::pi / contact_angles; // n times the angle
    return {1.0, std::cos(phase), std::cos(2 * phase)};
}

} // namespace

LobedStack::LobedStack(const StackSpec& stack, const GroupedStack& grouped, int lobes,
                       double start_pressure_mpa)
    : m_layout(makeContactLayout(stack.valve(), grouped.shapes, largest_step_mm)), m_shapes(grouped.shapes),
      m_preload_mm(stack.valve().preload.millimetres()) {
    const double clamp = stack.valve().clamp_od.millimetres() / 2;
    for (int g = 0; g < m_layout.groupCount(); ++g) {
        const GroupShape& shape = m_shapes[at(g)];
        m_plate_of_group.push_back(m_layout.node_count[at(g)] > 0 ? static_cast<int>(m_plates.size()) : -1);
        if (m_layout.node_count[at(g)] == 0) continue;
        const auto first = m_layout.node_radii_mm.begin() + m_layout.first_node[at(g)];
        std::vector<double> mesh(first, first + m_layout.node_count[at(g)]);
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
    const LiftModel model(stack.valve(), grouped.shapes,
                          {.largest_step_mm = largest_step_mm, .subdivisions = 1, .membrane_modes = 10});
    LiftWorkspace workspace = model.makeWorkspace();
    std::vector<StackState> states;
    if (!model.statesAtPressures(grouped.sums, std::vector{pressure_mpa}, Regime::large, workspace, states)
             .converged)
        return false;
    Eigen::VectorXd x = Eigen::VectorXd::Zero(m_state.size());
    for (int g = 0; g < m_layout.groupCount(); ++g) {
        const PlateTables* tables = model.tables(g);
        if (m_plate_of_group[at(g)] < 0 || tables == nullptr) continue;
        const int first = m_layout.first_dof[at(g)];
        const double* w = states.front().deflection_mm.data() + first;
        for (int i = 0; i < tables->node_count; ++i) {
            const int fine = 2 * (m_shapes[at(g)].ring ? i : i + 1); // radii at ends and middles of elements
            double slope = 0;
            for (int j = 0; j < tables->node_count; ++j)
                slope += tables->slope[at(fine * tables->node_count + j)] * w[j];
            const int base = nodeBase(g, first + i);
            x(base) = w[i];
            x(base + 1) = slope;
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
        const double before = node > 0 ? radii[at(node - 1)] : radii[at(node)] - largest_step_mm;
        const double after = at(node + 1) < radii.size() ? radii[at(node + 1)] : radii[at(node)];
        return 2 * std::numbers::pi * radii[at(node)] * (after - before) / 2;
    };
    for (std::size_t i = 0; i < m_layout.pairs.size(); ++i) {
        const ContactLayout::Pair& pair = m_layout.pairs[i];
        m_contacts.push_back({nodeBase(pair.lower_group, pair.lower_dof),
                              nodeBase(pair.upper_group, pair.upper_dof), rest_gaps[i], area(pair.node)});
    }
    if (m_layout.seat_dof >= 0) {
        // The seat lies below the face disc: w >= preload.
        m_contacts.push_back({-1, nodeBase(0, m_layout.seat_dof), -m_preload_mm, area(m_layout.seat_dof)});
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
    for (const Contact& contact : m_contacts) {
        const double stiffness = contact_stiffness_mpa_per_mm * contact.area_mm2 / contact_angles;
        std::array<double, 9> block{};
        for (int angle = 0; angle < contact_angles; ++angle) {
            const std::array<double, 3> weight = harmonics(angle);
            double gap = contact.gap_mm;
            for (std::size_t k = 0; k < 3; ++k) {
                gap += weight[k] * x(contact.upper + deflections[k]);
                if (contact.lower >= 0) gap -= weight[k] * x(contact.lower + deflections[k]);
            }
            if (gap >= m_touching_mm) continue;
            for (std::size_t k = 0; k < 3; ++k) {
                residual(contact.upper + deflections[k]) += stiffness * gap * weight[k];
                if (contact.lower >= 0)
                    residual(contact.lower + deflections[k]) -= stiffness * gap * weight[k];
                for (std::size_t l = 0; l < 3; ++l) block[3 * k + l] += stiffness * weight[k] * weight[l];
            }
        }
        // Zeros are stored too, so that the pattern never changes and is analysed once.
        for (std::size_t k = 0; k < 3; ++k) {
            for (std::size_t l = 0; l < 3; ++l) {
                const auto put = [&](int a, int b, double value) {
                    const int row = m_free[at(a + deflections[k])], column = m_free[at(b + deflections[l])];
                    if (row >= column) m_system.add(row, column, value);
                };
                const double value = block[3 * k + l];
                put(contact.upper, contact.upper, value);
                if (contact.lower < 0) continue;
                put(contact.lower, contact.lower, value);
                put(contact.upper, contact.lower, -value);
                put(contact.lower, contact.upper, -value);
            }
        }
    }
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
    Eigen::VectorXd residual, right(m_unknowns);
    for (int round = 0; round < rounds; ++round) {
        assemble(x, pressure_mpa, residual);
        m_touching_mm = 0;
        if (!m_system.factor(m_unknowns)) return false;
        for (std::size_t i = 0; i < m_free.size(); ++i) {
            if (m_free[i] >= 0) right(m_free[i]) = -residual(static_cast<Eigen::Index>(i));
        }
        const Eigen::VectorXd step = m_system.solve(right);
        if (!step.allFinite()) return false;
        // Contacts that open and close in turn come to rest when the steps are shorter.
        const double damping = round < free_rounds ? 1.0 : 0.5;
        double largest = 0;
        for (std::size_t i = 0; i < m_free.size(); ++i) {
            if (m_free[i] < 0) continue;
            x(static_cast<Eigen::Index>(i)) += damping * step(m_free[i]);
            largest = std::max(largest, std::abs(step(m_free[i])));
        }
        if (largest < settled_step_mm) {
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

} // namespace shimledger::planner
