// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/stack_lift.h"

#include "planner/mechanics/disc_friction.h"
#include "planner/mechanics/stack_checks.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <utility>

namespace shimledger::planner {

namespace {

constexpr double open_gap_mm = 1e-6; // anything wider is a gap and not two touching discs

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

double deflectionAt(const PlateTables& tables, std::size_t fine, const double* w) {
    double sum = 0;
    for (std::size_t j = 0; j < at(tables.node_count); ++j) {
        sum += tables.deflection[fine * at(tables.node_count) + j] * w[j];
    }
    return sum;
}

int lastRowOf(const std::vector<int>& group_of_row, int group) {
    const auto after = std::upper_bound(group_of_row.begin(), group_of_row.end(), group);
    return static_cast<int>(after - group_of_row.begin()) - 1;
}

int firstRowOf(const std::vector<int>& group_of_row, int group) {
    return static_cast<int>(std::lower_bound(group_of_row.begin(), group_of_row.end(), group) -
                            group_of_row.begin());
}

} // namespace

StackLift::StackLift(StackSpec stack, const GridOptions& options)
    : m_stack(std::move(stack)), m_grouped(groupStack(m_stack)),
      m_model(std::make_unique<LiftModel>(m_stack.valve(), m_grouped.shapes, options)),
      m_workspace(std::make_unique<LiftWorkspace>(m_model->makeWorkspace())) {}
StackLift::StackLift(StackSpec stack, std::vector<GroupSums> sums, const GridOptions& options)
    : StackLift(std::move(stack), options) {
    if (sums.size() != m_grouped.sums.size()) throw std::logic_error("sums of another stack");
    m_grouped.sums = std::move(sums);
}
StackLift::~StackLift() = default;
StackLift::StackLift(StackLift&&) noexcept = default;
StackLift& StackLift::operator=(StackLift&&) noexcept = default;

StackReport StackLift::overLift(double lift_mm, Regime regime, int points, double friction_coefficient) {
    std::vector<double> lifts;
    for (int i = 1; i <= points; ++i) lifts.push_back(lift_mm * i / points);
    std::vector<StackState> states;
    const SolveReport solve = m_model->statesAtLifts(m_grouped.sums, lifts, regime, *m_workspace, states);
    return report(states, solve, regime, friction_coefficient);
}

StackReport StackLift::atPressures(std::span<const double> pressures_mpa, Regime regime,
                                   double friction_coefficient) {
    std::vector<StackState> states;
    const SolveReport solve =
        m_model->statesAtPressures(m_grouped.sums, pressures_mpa, regime, *m_workspace, states);
    return report(states, solve, regime, friction_coefficient);
}

/// Where gaps close: by straight extrapolation of the gap over the two points before, held between the
/// last open and the first closed point.
std::vector<GapClosing> StackLift::closings(const std::vector<StackState>& states) const {
    const ContactLayout& layout = m_model->layout();
    std::vector<double> heights(m_grouped.shapes.size());
    std::vector<double> rest(layout.pairs.size());
    restGaps(layout, m_grouped.shapes, m_grouped.sums.data(), heights.data(), rest.data());
    std::vector<GapClosing> found;
    for (std::size_t i = 0; i < layout.pairs.size(); ++i) {
        if (rest[i] <= open_gap_mm) continue;
        const auto closed = std::find_if(states.begin(), states.end(),
                                         [&](const StackState& state) { return state.gap_mm[i] <= 0; });
        if (closed == states.end()) continue;
        struct Sample {
            double lift, pressure, gap;
        };
        const auto sample = [&](std::ptrdiff_t back) {
            if (closed - states.begin() < back) return Sample{0, 0, rest[i]};
            const StackState& state = *(closed - back);
            return Sample{state.lift_mm, state.pressure_mpa, state.gap_mm[i]};
        };
        const Sample here = sample(0);
        const Sample before = sample(1);
        const Sample earlier = sample(2);
        double part = 1;
        if (earlier.gap > before.gap && before.lift > earlier.lift) {
            const double rate = (earlier.gap - before.gap) / (before.lift - earlier.lift);
            part = before.gap / rate / (here.lift - before.lift);
        } else if (here.lift > 0) {
            part = 0.5; // closed within the first step
        }
        part = std::clamp(part, 0.0, 1.0);
        const ContactLayout::Pair& pair = layout.pairs[i];
        const GapClosing closing{lastRowOf(m_grouped.group_of_row, pair.lower_group),
                                 firstRowOf(m_grouped.group_of_row, pair.upper_group),
                                 layout.node_radii_mm[at(pair.node)],
                                 before.lift + part * (here.lift - before.lift),
                                 before.pressure + part * (here.pressure - before.pressure)};
        const auto known = std::find_if(found.begin(), found.end(), [&](const GapClosing& other) {
            return other.lower_row == closing.lower_row && other.upper_row == closing.upper_row;
        });
        if (known == found.end()) {
            found.push_back(closing);
        } else if (closing.lift_mm < known->lift_mm) {
            *known = closing;
        }
    }
    std::sort(found.begin(), found.end(), [](const GapClosing& a, const GapClosing& b) {
        return std::pair(a.lift_mm, a.lower_row) < std::pair(b.lift_mm, b.lower_row);
    });
    return found;
}

std::vector<double> StackLift::loadShares(const StackState& state) const {
    const ContactLayout& layout = m_model->layout();
    const ValveGeometry& valve = m_stack.valve();
    const double inner = std::max(valve.port_inner_diameter.millimetres(), valve.clamp_od.millimetres()) / 2;
    const double outer = valve.port_outer_diameter.millimetres() / 2;
    const double load =
        state.pressure_mpa * std::numbers::pi * (outer * outer - inner * inner) + state.seat_force_n;
    std::vector<double> carried(m_grouped.shapes.size(), 0.0);
    carried.front() = load;
    for (std::size_t i = 0; i < layout.pairs.size(); ++i) {
        carried[at(layout.pairs[i].lower_group)] -= state.contact_force_n[i];
        carried[at(layout.pairs[i].upper_group)] += state.contact_force_n[i];
    }
    std::vector<double> shares;
    for (std::size_t row = 0; row < m_stack.rows().size(); ++row) {
        const auto group = at(m_grouped.group_of_row[row]);
        const DiscRow& discs = m_stack.rows()[row];
        const double part =
            sumsOf(discs.count, discs.thickness.millimetres(), discs.material.elastic_modulus_mpa)
                .bending_n_mm /
            m_grouped.sums[group].bending_n_mm;
        shares.push_back(load > 0 ? part * carried[group] / load : 0.0);
    }
    return shares;
}

std::vector<RowStress> StackLift::stresses(const StackState& state, Regime regime) const {
    std::vector<RowStress> result;
    for (std::size_t row = 0; row < m_stack.rows().size(); ++row) {
        RowStress stress;
        const int group = m_grouped.group_of_row[row];
        const PlateTables* tables = m_model->tables(group);
        const DiscRow& discs = m_stack.rows()[row];
        const double nu = discs.material.poisson_ratio;
        const double modulus = discs.material.elastic_modulus_mpa;
        const double per_curvature = modulus * discs.thickness.millimetres() / (2 * (1 - nu * nu));
        const double* w = state.deflection_mm.data() + m_model->layout().first_dof[at(group)];
        const bool stretched = tables != nullptr && regime == Regime::large;
        const std::vector<double> amplitudes =
            stretched ? tables->membraneAmplitudes(w) : std::vector<double>();
        for (std::size_t i = 0; tables != nullptr && i < tables->fine_radii_mm.size(); ++i) {
            const auto nodes = at(tables->node_count);
            const double r = tables->fine_radii_mm[i];
            const double own =
                state.pressure_mpa * 12 * (1 - nu * nu) / m_grouped.sums[at(group)].bending_n_mm;
            double slope = own * tables->pressure_slope[i];
            double curvature = own * tables->pressure_curvature[i];
            for (std::size_t j = 0; j < nodes; ++j) {
                slope += tables->slope[i * nodes + j] * w[j];
                curvature += tables->curvature[i * nodes + j] * w[j];
            }
            const double bending = per_curvature * std::max(std::abs(curvature + nu * slope / r),
                                                            std::abs(slope / r + nu * curvature));
            if (bending <= stress.bending_mpa) continue;
            const double force = amplitudes.empty() ? 0.0 : tables->radialForce(amplitudes, i);
            stress = {bending, modulus * force, r};
        }
        result.push_back(stress);
    }
    return result;
}

/// By bisection on the seat force, to a millionth of the pressure.
std::optional<double> StackLift::openingPressure(Regime regime) {
    if (m_stack.valve().preload == Length()) return {};
    std::vector<StackState> states;
    const auto holds = [&](double pressure) -> std::optional<bool> {
        const std::vector<double> at_pressure{pressure};
        if (!m_model->statesAtPressures(m_grouped.sums, at_pressure, regime, *m_workspace, states).converged)
            return {};
        return states.back().seat_force_n > 0;
    };
    double low = 0;
    double high = 0.1;
    std::optional<bool> held = holds(high);
    while (held.value_or(false) && high < 1e4) {
        low = high;
        high *= 2;
        held = holds(high);
    }
    if (held.value_or(true)) return {};
    while (high - low > 1e-6 * high) {
        const double middle = 0.5 * (low + high);
        held = holds(middle);
        if (!held) return {};
        (*held ? low : high) = middle;
    }
    return high;
}

StackReport StackLift::report(const std::vector<StackState>& states, const SolveReport& solve, Regime regime,
                              double friction_coefficient) {
    StackReport result;
    result.converged = solve.converged;
    result.reason = solve.reason;
    std::vector<LiftPoint> points;
    points.reserve(states.size());
    const DiscFriction friction(m_stack, m_grouped, *m_model);
    for (const StackState& state : states) {
        LiftPoint point{state.pressure_mpa, state.lift_mm, state.lift_slope_mm_per_mpa};
        if (friction_coefficient > 0) {
            const FrictionHalfWidth half = friction.halfWidth(state, regime, friction_coefficient);
            // Below 0 where the edge sinks under rising pressure: the loop is as wide there.
            point.friction_half_width_mm = std::abs(half.lift_mm);
            point.friction_pressure_mpa = half.pressure_mpa;
        }
        points.push_back(point);
    }
    result.curve = LiftCurve(std::move(points));
    if (states.empty()) return result;
    result.opening_pressure_mpa = openingPressure(regime);
    result.closings = closings(states);
    result.load_share = loadShares(states.back());
    result.stresses = stresses(states.back(), regime);
    result.warp_warning = warpWarning(m_stack, result.curve.greatestLift());
    result.warnings = stackWarnings(m_stack, result.curve.greatestLift(), result.stresses);
    return result;
}

std::optional<std::vector<DiscShape>> StackLift::shapesAt(double lift_mm, Regime regime) {
    std::vector<double> lifts;
    const int steps = std::max(1, static_cast<int>(std::ceil(lift_mm / 0.05)));
    for (int i = 1; i <= steps && lift_mm > 0; ++i) lifts.push_back(lift_mm * i / steps);
    std::vector<StackState> states;
    if (lifts.empty()) {
        const std::vector<double> rest{0.0};
        if (!m_model->statesAtPressures(m_grouped.sums, rest, regime, *m_workspace, states).converged)
            return {};
    } else if (!m_model->statesAtLifts(m_grouped.sums, lifts, regime, *m_workspace, states).converged) {
        return {};
    }
    const StackState& state = states.back();
    std::vector<double> heights(m_grouped.shapes.size());
    std::vector<double> gaps(m_model->layout().pairs.size());
    restGaps(m_model->layout(), m_grouped.shapes, m_grouped.sums.data(), heights.data(), gaps.data());
    std::vector<DiscShape> shapes;
    int last_group = -1;
    double height = 0;
    for (std::size_t row = 0; row < m_stack.rows().size(); ++row) {
        const int group = m_grouped.group_of_row[row];
        if (group != last_group) height = heights[at(group)];
        last_group = group;
        DiscShape shape;
        shape.rest_height_mm = height;
        height += m_stack.rows()[row].count * m_stack.rows()[row].thickness.millimetres();
        if (const PlateTables* tables = m_model->tables(group)) {
            const double* w = state.deflection_mm.data() + m_model->layout().first_dof[at(group)];
            shape.radii_mm = tables->fine_radii_mm;
            for (std::size_t i = 0; i < tables->fine_radii_mm.size(); ++i) {
                shape.deflection_mm.push_back(deflectionAt(*tables, i, w));
            }
        }
        shapes.push_back(std::move(shape));
    }
    return shapes;
}

} // namespace shimledger::planner
