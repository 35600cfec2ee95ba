#include "planner/mechanics/warp_onset.h"

#include "planner/mechanics/hermite_element.h"
#include "planner/mechanics/refilled_system.h"

#include <Eigen/Core>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <iterator>
#include <numeric>
#include <utility>
#include <vector>

namespace shimledger::planner {

namespace {

constexpr int fewest_lobes = 2;
constexpr int most_lobes = 6;
constexpr double look_step_mm = 0.06; // a closing gap may hold discs again, but not within so little
constexpr double lift_resolution_mm = 0.001;
constexpr int fields = 3;                 // w_n, u_n, v_n
constexpr int dofs_per_node = 2 * fields; // a value and a slope each
const GridOptions warp_grid{.largest_step_mm = 0.7, .subdivisions = 1, .membrane_modes = 10};

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

/// A sentence where the disc of a row is of a form that nobody compared with finite elements, else "".
std::string outsideChecks(const StackSpec& stack, int row) {
    const DiscRow& disc = stack.rows()[at(row)];
    if (isRing(stack.valve(), disc)) {
        return "Row " + std::to_string(row + 1) +
               " is a ring that the clamp does not hold; warping was not checked for such rings.";
    }
    const double ratio = stack.valve().clamp_od.millimetres() / disc.od.millimetres();
    if (ratio >= 0.2 && ratio <= 0.65) return {};
    return "The clamp is " + std::to_string(std::lround(ratio * 100)) + " % of the OD of row " +
           std::to_string(row + 1) + ", whose discs were looked at; warping was checked for 20 to 65 % only.";
}

/// One group's round state along its mesh: radii, slopes and forces at the ends and middles of elements.
struct RoundState {
    std::vector<double> deflection, slope, radial_force;
};

RoundState roundState(const PlateTables& tables, const double* w, double membrane_n_per_mm) {
    const auto nodes = at(tables.node_count);
    const std::vector<double> amplitudes = tables.membraneAmplitudes(w);
    RoundState state;
    for (std::size_t f = 0; f < tables.fine_radii_mm.size(); ++f) {
        double deflection = 0, slope = 0;
        for (std::size_t j = 0; j < nodes; ++j) {
            deflection += tables.deflection[f * nodes + j] * w[j];
            slope += tables.slope[f * nodes + j] * w[j];
        }
        state.deflection.push_back(deflection);
        state.slope.push_back(slope);
        state.radial_force.push_back(membrane_n_per_mm * tables.radialForce(amplitudes, f));
    }
    return state;
}

/// What one element needs at one point: the round state there, and the plate.
struct PointState {
    double r, slope, radial_force, hoop_force, extension, bending, poisson;
};

/// Adds the second variation at one point to the element matrix (order: w, u, v Hermite quadruples).
void addPoint(const PointState& p, const HermiteValues& h, int lobes, double weight,
              Eigen::Matrix<double, 12, 12>& element) {
    const double n = lobes;
    using Row = Eigen::Matrix<double, 1, 12>;
    using Deflection = Eigen::Matrix<double, 1, 4>; // what w_n alone does
    Row e_r = Row::Zero(), e_t = Row::Zero(), shear = Row::Zero();
    Deflection k_r, k_t, k_rt, tilt_r, tilt_t;
    for (int i = 0; i < 4; ++i) {
        const double value = h.value[at(i)], slope = h.slope[at(i)];
        e_r(i) = p.slope * slope;
        e_r(4 + i) = slope;
        e_t(4 + i) = value / p.r;
        e_t(8 + i) = n * value / p.r;
        shear(i) = -n * p.slope * value / p.r;
        shear(4 + i) = -n * value / p.r;
        shear(8 + i) = slope - value / p.r;
        k_r(i) = -h.curvature[at(i)];
        k_t(i) = -(slope / p.r - n * n * value / (p.r * p.r));
        k_rt(i) = 2 * n * (slope / p.r - value / (p.r * p.r));
        tilt_r(i) = slope;
        tilt_t(i) = n * value / p.r;
    }
    const double nu = p.poisson;
    // Of a plate with the strains or curvatures r, t and rt; sides of a product that belong together.
    const auto add = [&](auto&& block, double stiffness, const auto& r, const auto& t, const auto& rt) {
        const double c = weight * stiffness;
        block.noalias() += (c * r).transpose() * (r + nu * t);
        block.noalias() += (c * t).transpose() * (t + nu * r);
        block.noalias() += (c * (1 - nu) / 2 * rt).transpose() * rt;
    };
    auto deflections = element.topLeftCorner<4, 4>();
    add(element, p.extension, e_r, e_t, shear);
    add(deflections, p.bending, k_r, k_t, k_rt);
    deflections.noalias() += (weight * p.radial_force * tilt_r).transpose() * tilt_r;
    deflections.noalias() += (weight * p.hoop_force * tilt_t).transpose() * tilt_t;
}

/// Numbers the disturbance's degrees of freedom: clamped ones are dropped, pressed contacts share w_n.
class LobedProblem {
public:
    LobedProblem(const LiftModel& model, const std::vector<GroupSums>& sums) : m_model(model), m_sums(sums) {}

    void setState(const StackState& state) {
        m_state = &state;
        const ContactLayout& layout = m_model.layout();
        std::swap(m_number, m_last_number);
        m_number.clear();
        m_start.clear();
        int count = 0;
        for (int g = 0; g < layout.groupCount(); ++g) {
            m_start.push_back(static_cast<int>(m_number.size()));
            for (int i = 0; i < layout.node_count[at(g)] * dofs_per_node; ++i) m_number.push_back(count++);
        }
        // Pairs of a chain come from the face upward, so a chain of contacts ends on one number.
        for (std::size_t i = 0; i < layout.pairs.size(); ++i) {
            if (state.contact_force_n[i] <= 0) continue;
            const ContactLayout::Pair& pair = layout.pairs[i];
            m_number[deflectionDof(pair.upper_group, pair.upper_dof)] =
                m_number[deflectionDof(pair.lower_group, pair.lower_dof)];
        }
        m_size = count;
        // The same contacts give the same entries in the same order.
        if (m_number != m_last_number) m_system.newPattern();
        m_groups.clear();
        for (int g = 0; g < layout.groupCount(); ++g) {
            const PlateTables* tables = m_model.tables(g);
            m_groups.push_back(tables == nullptr
                                   ? RoundState{}
                                   : roundState(*tables, state.deflection_mm.data() + layout.first_dof[at(g)],
                                                m_sums[at(g)].membrane_n_per_mm));
        }
    }

    /// True where the disturbance of that many lobes is no longer held.
    [[nodiscard]] bool unstable(int lobes) {
        assemble(lobes);
        return !m_system.factor(m_size) || m_system.negative();
    }

    /// The group that moves most in the softest disturbance, by inverse iteration about the present state.
    [[nodiscard]] int softestGroup(int lobes) {
        assemble(lobes);
        if (!m_system.factor(m_size)) return 0;
        Eigen::VectorXd x = Eigen::VectorXd::Ones(m_size);
        for (int i = 0; i < 20; ++i) x = m_system.solve(x).normalized();
        int softest = 0;
        double most = 0;
        const ContactLayout& layout = m_model.layout();
        for (int g = 0; g < layout.groupCount(); ++g) {
            for (int i = 0; i < layout.node_count[at(g)]; ++i) {
                const double value = std::abs(x(m_number[at(m_start[at(g)] + i * dofs_per_node)]));
                if (value > 1.0001 * most) {
                    most = value;
                    softest = g;
                }
            }
        }
        return softest;
    }

private:
    [[nodiscard]] std::size_t deflectionDof(int group, int dof) const {
        return at(m_start[at(group)] + (dof - m_model.layout().first_dof[at(group)]) * dofs_per_node);
    }

    void assemble(int lobes) {
        m_system.clear();
        std::vector<char> used(at(m_size), 0);
        for (int g = 0; g < m_model.layout().groupCount(); ++g) {
            if (m_model.tables(g) != nullptr) assembleGroup(g, lobes);
        }
        for (const int number : m_number) used[at(number)] = 1;
        for (int i = 0; i < m_size; ++i) {
            if (!used[at(i)]) m_system.add(i, i, 1.0); // a number that gave way to a contact
        }
    }

    void assembleGroup(int g, int lobes) {
        const PlateTables& tables = *m_model.tables(g);
        const GroupShape& shape = m_model.shapes()[at(g)];
        const GroupSums& sums = m_sums[at(g)];
        const RoundState& state = m_groups[at(g)];
        const double nu = shape.poisson_ratio;
        const int elements = (static_cast<int>(tables.fine_radii_mm.size()) - 1) / 2;
        const int clamped = shape.ring ? 0 : 1; // mesh node 0 is the clamp and has no numbers
        for (int e = 0; e < elements; ++e) {
            const std::size_t f = at(2 * e);
            const double r0 = tables.fine_radii_mm[f];
            const double h = tables.fine_radii_mm[f + 2] - r0;
            Eigen::Matrix<double, 12, 12> element = Eigen::Matrix<double, 12, 12>::Zero();
            for (const GaussPoint& point : fewGaussPoints()) {
                const double s = point.position;
                const HermiteValues hermite = hermiteValues(s, h);
                const double slope =
                    hermite.slope[0] * state.deflection[f] + hermite.slope[1] * state.slope[f] +
                    hermite.slope[2] * state.deflection[f + 2] + hermite.slope[3] * state.slope[f + 2];
                // The parabola through both ends and the middle, and its slope.
                const double a = state.radial_force[f], b = state.radial_force[f + 1],
                             c = state.radial_force[f + 2];
                const double force = a * (1 - s) * (1 - 2 * s) + 4 * b * s * (1 - s) + c * s * (2 * s - 1);
                const double change = (a * (4 * s - 3) + b * (4 - 8 * s) + c * (4 * s - 1)) / h;
                const double r = r0 + s * h;
                addPoint({r, slope, force, force + r * change, sums.membrane_n_per_mm / (1 - nu * nu),
                          sums.bending_n_mm / (12 * (1 - nu * nu)), nu},
                         hermite, lobes, point.weight * h * r, element);
            }
            std::array<int, 12> numbers{};
            for (int field = 0; field < fields; ++field) {
                for (int end = 0; end < 2; ++end) {
                    const int node = e + end - clamped;
                    for (int part = 0; part < 2; ++part) {
                        numbers[at(field * 4 + end * 2 + part)] =
                            node < 0 ? -1
                                     : m_number[at(m_start[at(g)] + node * dofs_per_node + field * 2 + part)];
                    }
                }
            }
            for (int i = 0; i < 12; ++i) {
                for (int j = 0; j < 12; ++j) {
                    if (numbers[at(j)] >= 0 && numbers[at(i)] >= numbers[at(j)]) { // lower triangle
                        m_system.add(numbers[at(i)], numbers[at(j)], element(i, j));
                    }
                }
            }
        }
    }

    const LiftModel& m_model;
    const std::vector<GroupSums>& m_sums;
    const StackState* m_state = nullptr;
    std::vector<int> m_number;      ///< of every group dof: group by group, node by node, w w' u u' v v'
    std::vector<int> m_last_number; ///< before the last setState
    std::vector<int> m_start;
    std::vector<RoundState> m_groups;
    RefilledSystem m_system;
    int m_size = 0;
};

} // namespace

WarpOnsetResult findWarpOnset(const StackSpec& stack, double greatest_lift_mm) {
    const GroupedStack grouped = groupStack(stack);
    const LiftModel model(stack.valve(), grouped.shapes, warp_grid);
    LiftWorkspace workspace = model.makeWorkspace();
    WarpOnsetResult result;
    result.caution = outsideChecks(stack, 0);
    for (std::size_t row = 1; row < stack.rows().size() && result.caution.empty(); ++row) {
        if (isRing(stack.valve(), stack.rows()[row]))
            result.caution = outsideChecks(stack, static_cast<int>(row));
    }
    std::vector<double> lifts;
    const int looks = std::max(1, static_cast<int>(std::ceil(greatest_lift_mm / look_step_mm)));
    for (int i = 1; i <= looks; ++i) lifts.push_back(greatest_lift_mm * i / looks);
    std::vector<StackState> states;
    const SolveReport solve = model.statesAtLifts(grouped.sums, lifts, Regime::large, workspace, states);
    LobedProblem problem(model, grouped.sums);
    using Lobes = std::vector<int>;
    const auto unstable = [&](const StackState& state, const Lobes& asked) {
        problem.setState(state);
        Lobes found;
        std::copy_if(asked.begin(), asked.end(), std::back_inserter(found),
                     [&](int lobes) { return problem.unstable(lobes); });
        return found;
    };
    Lobes all(most_lobes - fewest_lobes + 1), lost_lobes;
    std::iota(all.begin(), all.end(), fewest_lobes);
    double held = 0;
    StackState lost;
    for (const StackState& state : states) {
        lost = state;
        lost_lobes = unstable(state, all);
        if (!lost_lobes.empty()) break;
        held = state.lift_mm;
    }
    result.converged = solve.converged || !lost_lobes.empty();
    if (!result.converged) result.reason = solve.reason;
    if (lost_lobes.empty()) return result;
    // Between the two looks, by halves: only what is lost at the later one may be lost before it.
    while (lost.lift_mm - held > lift_resolution_mm) {
        const double middle = 0.5 * (held + lost.lift_mm);
        const std::vector<double> at_lift{middle};
        if (!model.statesAtLifts(grouped.sums, at_lift, Regime::large, workspace, states).converged) break;
        const Lobes lost_here = unstable(states.back(), lost_lobes);
        if (lost_here.empty()) {
            held = middle;
        } else {
            lost = states.back();
            lost_lobes = lost_here;
        }
    }
    WarpOnset onset{lost.pressure_mpa, lost.lift_mm, lost_lobes.front(), 0};
    problem.setState(lost);
    const int group = problem.softestGroup(onset.lobes);
    const auto row = std::find(grouped.group_of_row.begin(), grouped.group_of_row.end(), group);
    onset.row = static_cast<int>(row - grouped.group_of_row.begin());
    if (result.caution.empty()) result.caution = outsideChecks(stack, onset.row);
    result.onset = onset;
    return result;
}

} // namespace shimledger::planner
