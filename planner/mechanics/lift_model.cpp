// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/lift_model.h"

#include "planner/mechanics/contact_solver.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <utility>

namespace shimledger::planner {

struct LiftModel::Parts : ModelParts {};

struct LiftWorkspace::State {
    const void* owner = nullptr;
    ContactSolver solver;
};

LiftWorkspace::LiftWorkspace(std::unique_ptr<State> state) : m_state(std::move(state)) {}
LiftWorkspace::~LiftWorkspace() = default;
LiftWorkspace::LiftWorkspace(LiftWorkspace&&) noexcept = default;
LiftWorkspace& LiftWorkspace::operator=(LiftWorkspace&&) noexcept = default;

LiftModel::~LiftModel() = default;
LiftModel::LiftModel(LiftModel&&) noexcept = default;
LiftModel& LiftModel::operator=(LiftModel&&) noexcept = default;

LiftModel::LiftModel(const ValveGeometry& valve, std::vector<GroupShape> shapes, const GridOptions& options) {
    if (shapes.empty()) throw std::logic_error("a lift model needs at least one group");
    auto parts = std::make_unique<Parts>();
    parts->layout = makeContactLayout(valve, shapes, options);
    parts->shapes = std::move(shapes);
    parts->preload_mm = valve.preload.millimetres();
    const ContactLayout& layout = parts->layout;
    int block = 0;
    for (std::size_t g = 0; g < parts->shapes.size(); ++g) {
        const GroupShape& shape = parts->shapes[g];
        const int nodes = layout.node_count[g];
        parts->block_start.push_back(block);
        block += nodes * nodes;
        std::shared_ptr<const PlateTables> tables;
        for (std::size_t earlier = 0; earlier < g && !tables; ++earlier) {
            if (earlier > 0 && parts->shapes[earlier] == shape &&
                layout.group_nodes[earlier] == layout.group_nodes[g])
                tables = parts->tables[earlier];
        }
        if (!tables && nodes > 0) {
            PlateShape plate{.inner_radius_mm = shape.inner_radius_mm,
                             .outer_radius_mm = shape.outer_radius_mm,
                             .inner_edge = shape.ring ? InnerEdge::free : InnerEdge::clamped,
                             .outer_edge = OuterEdge::free,
                             .poisson_ratio = shape.poisson_ratio,
                             .pressure_inner_radius_mm = 0,
                             .pressure_outer_radius_mm = 0,
                             .node_radii_mm = layout.radiiOfGroup(static_cast<int>(g))};
            plate.node_radii_mm.back() = shape.outer_radius_mm;
            if (shape.ring) plate.node_radii_mm.front() = shape.inner_radius_mm;
            if (g == 0) {
                plate.pressure_inner_radius_mm = valve.port_inner_diameter.millimetres() / 2;
                plate.pressure_outer_radius_mm = valve.port_outer_diameter.millimetres() / 2;
            }
            tables = std::make_shared<const PlateTables>(plate, options);
        }
        parts->tables.push_back(std::move(tables));
    }
    parts->block_start.push_back(block);
    const double inner = std::max(valve.port_inner_diameter.millimetres(), valve.clamp_od.millimetres()) / 2;
    const double outer = valve.port_outer_diameter.millimetres() / 2;
    parts->port_area_mm2 = std::numbers::pi * (outer * outer - inner * inner);
    m_parts = std::move(parts);
}

LiftWorkspace LiftModel::makeWorkspace() const {
    return LiftWorkspace(
        std::make_unique<LiftWorkspace::State>(LiftWorkspace::State{m_parts.get(), ContactSolver(*m_parts)}));
}

namespace {

/// Four decimals, whatever the locale; for values that are not negative.
std::string fixedText(double value) {
    std::string text = std::to_string(std::llround(value * 1e4));
    while (text.size() < 5) text.insert(text.begin(), '0');
    text.insert(text.end() - 4, '.');
    return text;
}

void checkSums(std::span<const GroupSums> sums, std::size_t groups) {
    if (sums.size() != groups) throw std::logic_error("the sums do not fit the groups of the model");
    for (const GroupSums& sum : sums) {
        if (!(sum.thickness_mm > 0 && sum.bending_n_mm > 0 && sum.membrane_n_per_mm > 0)) {
            throw std::logic_error("a group's sums must be positive");
        }
    }
}

/// Walks the ascending targets, calling `take(index)` at each converged point.
template <typename Step, typename Take>
SolveReport follow(ContactSolver& solver, SolveReport report, std::span<const double> targets,
                   const char* unit, Step step, Take take) {
    double last = 0;
    for (std::size_t i = 0; i < targets.size() && report.converged; ++i) {
        if (!(targets[i] >= last) || !std::isfinite(targets[i])) {
            throw std::logic_error("targets must be finite, ascending and not negative");
        }
        last = targets[i];
        if (!step(targets[i])) {
            report.converged = false;
            const char* cause = solver.edgeSinks()
                                    ? "the face disc's edge does not rise with pressure in this valve"
                                : solver.singular() ? "the stack has no stiffness there"
                                                    : "the contacts did not settle";
            report.reason = "no equilibrium was found at " + fixedText(targets[i]) + unit + ": " + cause;
            break;
        }
        take(i);
    }
    report.newton_steps = solver.steps();
    return report;
}

} // namespace

ContactSolver& LiftModel::checkedSolver(std::span<const GroupSums> sums, LiftWorkspace& workspace) const {
    checkSums(sums, m_parts->shapes.size());
    if (workspace.m_state->owner != m_parts.get())
        throw std::logic_error("this workspace is another model's");
    return workspace.m_state->solver;
}

SolveReport LiftModel::pressuresAtLifts(std::span<const GroupSums> sums, std::span<const double> lifts_mm,
                                        Regime regime, LiftWorkspace& workspace,
                                        std::span<double> pressures_mpa) const {
    ContactSolver& solver = checkedSolver(sums, workspace);
    std::fill(pressures_mpa.begin(), pressures_mpa.end(), 0.0);
    return follow(
        solver, solver.begin(sums, regime), lifts_mm, " mm lift",
        [&](double target) { return solver.toLift(target); },
        [&](std::size_t i) { pressures_mpa[i] = solver.pressure(); });
}

SolveReport LiftModel::elasticitiesAtLifts(std::span<const GroupSums> sums, std::span<const double> lifts_mm,
                                           Regime regime, LiftWorkspace& workspace,
                                           std::span<double> pressures_mpa,
                                           std::span<double> elasticities) const {
    ContactSolver& solver = checkedSolver(sums, workspace);
    const std::size_t many = 2 * sums.size();
    std::fill(pressures_mpa.begin(), pressures_mpa.end(), 0.0);
    std::fill(elasticities.begin(), elasticities.end(), 0.0);
    bool known = true;
    SolveReport report = follow(
        solver, solver.begin(sums, regime), lifts_mm, " mm lift",
        [&](double target) { return solver.toLift(target); },
        [&](std::size_t i) {
            pressures_mpa[i] = solver.pressure();
            if (!solver.strained())
                known = solver.elasticities(elasticities.subspan(i * many, many)) && known;
        });
    if (report.converged && !known) return {false, "the stack has no stiffness there", report.newton_steps};
    if (!report.converged || !solver.strained()) return report;
    // Where the rest is bent too: by differences.
    constexpr double step = 1e-4; // of the logarithm
    std::vector<GroupSums> beside(sums.begin(), sums.end());
    std::vector<double> pressures(lifts_mm.size());
    for (std::size_t sum = 0; sum < many; ++sum) {
        GroupSums& group = beside[sum / 2];
        (sum % 2 == 0 ? group.bending_n_mm : group.membrane_n_per_mm) *= std::exp(step);
        SolveReport moved = pressuresAtLifts(beside, lifts_mm, regime, workspace, pressures);
        if (!moved.converged) return moved;
        for (std::size_t i = 0; i < lifts_mm.size(); ++i)
            elasticities[i * many + sum] = std::log(pressures[i] / pressures_mpa[i]) / step;
        group = sums[sum / 2];
    }
    return report;
}

SolveReport LiftModel::liftsAtPressures(std::span<const GroupSums> sums,
                                        std::span<const double> pressures_mpa, Regime regime,
                                        LiftWorkspace& workspace, std::span<double> lifts_mm) const {
    ContactSolver& solver = checkedSolver(sums, workspace);
    std::fill(lifts_mm.begin(), lifts_mm.end(), 0.0);
    return follow(
        solver, solver.begin(sums, regime), pressures_mpa, " MPa",
        [&](double target) { return solver.toPressure(target); },
        [&](std::size_t i) { lifts_mm[i] = solver.lift(); });
}

SolveReport LiftModel::statesAtLifts(std::span<const GroupSums> sums, std::span<const double> lifts_mm,
                                     Regime regime, LiftWorkspace& workspace,
                                     std::vector<StackState>& states) const {
    ContactSolver& solver = checkedSolver(sums, workspace);
    states.clear();
    return follow(
        solver, solver.begin(sums, regime), lifts_mm, " mm lift",
        [&](double target) { return solver.toLift(target); },
        [&](std::size_t) { states.push_back(solver.state()); });
}

SolveReport LiftModel::stateBetween(std::span<const GroupSums> sums, const StackState& before,
                                    const StackState& after, double lift_mm, Regime regime,
                                    LiftWorkspace& workspace, StackState& state) const {
    ContactSolver& solver = checkedSolver(sums, workspace);
    const std::array<double, 1> target{lift_mm};
    return follow(
        solver, solver.begin(sums, regime), target, " mm lift",
        [&](double lift) { return solver.between(before, after, lift); },
        [&](std::size_t) { state = solver.state(); });
}

SolveReport LiftModel::statesAtPressures(std::span<const GroupSums> sums,
                                         std::span<const double> pressures_mpa, Regime regime,
                                         LiftWorkspace& workspace, std::vector<StackState>& states) const {
    ContactSolver& solver = checkedSolver(sums, workspace);
    states.clear();
    return follow(
        solver, solver.begin(sums, regime), pressures_mpa, " MPa",
        [&](double target) { return solver.toPressure(target); },
        [&](std::size_t) { states.push_back(solver.state()); });
}

const ContactLayout& LiftModel::layout() const {
    return m_parts->layout;
}
const std::vector<GroupShape>& LiftModel::shapes() const {
    return m_parts->shapes;
}
const PlateTables* LiftModel::tables(int group) const {
    return m_parts->tables[static_cast<std::size_t>(group)].get();
}

} // namespace shimledger::planner
