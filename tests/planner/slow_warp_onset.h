// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/envelope_matrix.h"
#include "planner/mechanics/hermite_element.h"
#include "planner/mechanics/lift_model.h"
#include "planner/stack/stack_spec.h"

#include <algorithm>
#include <array>
#include <optional>
#include <vector>

namespace shimledger::planner::test {

/// The onset of warping written out: in-plane displacements as fields of their own instead of stress
/// functions, every number of lobes at every look, and looks close together instead of a search. It shares
/// the round states and the factoring with what it checks, and nothing else.
class SlowWarpOnset {
public:
    SlowWarpOnset(const StackSpec& stack, double greatest_lift_mm, double look_step_mm)
        : m_grouped(groupStack(stack)), m_model(stack.valve(), m_grouped.shapes) {
        LiftWorkspace workspace = m_model.makeWorkspace();
        std::vector<double> lifts;
        for (double lift = look_step_mm; lift < greatest_lift_mm + 1e-9; lift += look_step_mm)
            lifts.push_back(lift);
        std::vector<StackState> states;
        static_cast<void>(m_model.statesAtLifts(m_grouped.sums, lifts, Regime::large, workspace, states));
        m_matrix.reserve(freedoms * m_model.layout().dofCount());
        for (const StackState& state : states) {
            m_looked_mm = state.lift_mm;
            number(state);
            for (int lobes = 2; lobes <= 6 && !m_lift_mm; ++lobes) {
                if (!holds(state, lobes)) m_lift_mm = state.lift_mm;
            }
            if (m_lift_mm) return;
        }
    }

    /// The first look at which some disturbance is not held.
    [[nodiscard]] const std::optional<double>& liftMm() const { return m_lift_mm; }
    /// Up to where the round solution was found.
    [[nodiscard]] double lookedToMm() const { return m_looked_mm; }

private:
    static constexpr int freedoms = 6; // of a contact node: w w' u u' v v'
    using Rows = std::array<std::array<double, 12>, 3>;

    void number(const StackState& state) {
        const ContactLayout& layout = m_model.layout();
        const auto dofs = static_cast<std::size_t>(layout.dofCount());
        std::vector<int> master(dofs);
        for (std::size_t i = 0; i < dofs; ++i) master[i] = static_cast<int>(i);
        for (std::size_t i = 0; i < layout.pairs.size(); ++i) {
            if (state.contact_force_n[i] > 0)
                master[at(layout.pairs[i].upper_dof)] = master[at(layout.pairs[i].lower_dof)];
        }
        m_number.assign(dofs * freedoms, -1);
        m_size = 0;
        for (int dof = layout.dofCount() - 1; dof >= 0; --dof) {
            for (int i = 0; i < freedoms; ++i) {
                if (i > 0 || master[at(dof)] == dof) m_number[at(dof * freedoms + i)] = m_size++;
            }
        }
        for (int dof = 0; dof < layout.dofCount(); ++dof)
            m_number[at(dof * freedoms)] = m_number[at(master[at(dof)] * freedoms)];
        m_first.resize(at(m_size));
        for (int i = 0; i < m_size; ++i) m_first[at(i)] = i;
        eachElement([&](int, int, const std::array<int, 12>& numbers) {
            int least = m_size;
            for (const int n : numbers) least = n >= 0 ? std::min(least, n) : least;
            for (const int n : numbers) {
                if (n >= 0) m_first[at(n)] = std::min(m_first[at(n)], least);
            }
        });
    }

    /// visit(group, first of the element's fine radii, unknowns: w w' at both ends, then u, then v)
    template <class Visit>
    void eachElement(Visit visit) const {
        const ContactLayout& layout = m_model.layout();
        for (int g = 0; g < layout.groupCount(); ++g) {
            const PlateTables* tables = m_model.tables(g);
            if (tables == nullptr) continue;
            const int clamp = m_grouped.shapes[at(g)].ring ? 0 : 1;
            for (int place = 0; place + 1 < tables->node_count + clamp; ++place) {
                std::array<int, 12> numbers{};
                for (int i = 0; i < 12; ++i) {
                    const int node = place + i % 4 / 2 - clamp;
                    numbers[at(i)] =
                        node < 0
                            ? -1
                            : m_number[at((layout.first_dof[at(g)] + node) * freedoms + i / 4 * 2 + i % 2)];
                }
                visit(g, place * fineSteps(*tables), numbers);
            }
        }
    }

    [[nodiscard]] static int fineSteps(const PlateTables&) { return 2 * GridOptions().subdivisions; }

    bool holds(const StackState& state, int lobes) {
        m_matrix.reset(m_first, m_size);
        eachElement([&](int g, int fine, const std::array<int, 12>& numbers) {
            const auto element = elementMatrix(state, g, fine, lobes);
            for (std::size_t i = 0; i < 12; ++i) {
                for (std::size_t j = 0; j < 12; ++j) {
                    if (numbers[j] >= 0 && numbers[i] >= numbers[j])
                        m_matrix.at(numbers[i], numbers[j]) += element[i][j];
                }
            }
        });
        return m_matrix.factor() && m_matrix.negativePivots() == 0;
    }

    std::array<std::array<double, 12>, 12> elementMatrix(const StackState& state, int g, int fine,
                                                         int lobes) {
        const PlateTables& tables = *m_model.tables(g);
        const GroupSums& sums = m_grouped.sums[at(g)];
        const double nu = m_grouped.shapes[at(g)].poisson_ratio, n = lobes;
        const double* w = state.deflection_mm.data() + m_model.layout().first_dof[at(g)];
        const std::vector<double> amplitudes = tables.membraneAmplitudes(w);
        const int steps = fineSteps(tables);
        const double r0 = tables.fine_radii_mm[at(fine)], h = tables.fine_radii_mm[at(fine + steps)] - r0;
        const auto spline = [&](const std::vector<double>& table, int place) {
            double sum = 0;
            for (int j = 0; j < tables.node_count; ++j)
                sum += table[at(place * tables.node_count + j)] * w[j];
            return sum;
        };
        const std::array<double, 4> shape{spline(tables.deflection, fine), spline(tables.slope, fine),
                                          spline(tables.deflection, fine + steps),
                                          spline(tables.slope, fine + steps)};
        const auto force = [&](int place) {
            return sums.membrane_n_per_mm * tables.radialForce(amplitudes, at(place));
        };
        const double f0 = force(fine), f1 = force(fine + steps / 2), f2 = force(fine + steps);
        std::array<std::array<double, 12>, 12> matrix{};
        for (const GaussPoint& point : fewGaussPoints()) {
            const double s = point.position, r = r0 + s * h, weight = point.weight * h * r;
            const HermiteValues hermite = hermiteValues(s, h);
            double slope = 0;
            for (std::size_t i = 0; i < 4; ++i) slope += hermite.slope[i] * shape[i];
            const double radial = f0 * (1 - s) * (1 - 2 * s) + 4 * f1 * s * (1 - s) + f2 * s * (2 * s - 1);
            const double hoop = radial + r * (f0 * (4 * s - 3) + f1 * (4 - 8 * s) + f2 * (4 * s - 1)) / h;
            Rows strain{}, curvature{}, tilt{};
            for (std::size_t i = 0; i < 4; ++i) {
                const double value = hermite.value[i], change = hermite.slope[i];
                strain[0][i] = slope * change;
                strain[0][4 + i] = change;
                strain[1][4 + i] = value / r;
                strain[1][8 + i] = n * value / r;
                strain[2][i] = -n * slope * value / r;
                strain[2][4 + i] = -n * value / r;
                strain[2][8 + i] = change - value / r;
                curvature[0][i] = -hermite.curvature[i];
                curvature[1][i] = -(change / r - n * n * value / (r * r));
                curvature[2][i] = 2 * n * (change / r - value / (r * r));
                tilt[0][i] = change;
                tilt[1][i] = n * value / r;
            }
            addElastic(matrix, strain, weight * sums.membrane_n_per_mm / (1 - nu * nu), nu);
            addElastic(matrix, curvature, weight * sums.bending_n_mm / (12 * (1 - nu * nu)), nu);
            for (std::size_t i = 0; i < 12; ++i) {
                for (std::size_t j = 0; j < 12; ++j)
                    matrix[i][j] +=
                        weight * (radial * tilt[0][i] * tilt[0][j] + hoop * tilt[1][i] * tilt[1][j]);
            }
        }
        return matrix;
    }

    static void addElastic(std::array<std::array<double, 12>, 12>& matrix, const Rows& rows, double stiffness,
                           double nu) {
        const auto& [a, b, c] = rows;
        for (std::size_t i = 0; i < 12; ++i) {
            for (std::size_t j = 0; j < 12; ++j) {
                matrix[i][j] += stiffness * (a[i] * (a[j] + nu * b[j]) + b[i] * (b[j] + nu * a[j]) +
                                             (1 - nu) / 2 * c[i] * c[j]);
            }
        }
    }

    static std::size_t at(int i) { return static_cast<std::size_t>(i); }

    GroupedStack m_grouped;
    LiftModel m_model;
    EnvelopeMatrix m_matrix;
    std::vector<int> m_number, m_first;
    int m_size = 0;
    std::optional<double> m_lift_mm;
    double m_looked_mm = 0;
};

} // namespace shimledger::planner::test
