// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/damping/stack_opening.h"

#include "planner/damping/damping_valve.h"
#include "planner/mechanics/disc_friction.h"
#include "planner/mechanics/hermite_element.h"
#include "planner/mechanics/lift_model.h"
#include "planner/mechanics/pressure_text.h"
#include "planner/mechanics/warp_branch.h"
#include "planner/mechanics/warp_follower.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

namespace shimledger::planner {

namespace {

constexpr int points = 24;
constexpr double first_lift_mm = 0.30; // the usual working range
constexpr double greatest_lift_mm = 5;
constexpr double crowding = 1.5;         // lifts lie closer where they are small
constexpr double least_lift_part = 1e-4; // of the range: stands for the limit of no lift
constexpr double margin = 1.1;           // on a range that was reckoned ahead
constexpr double least_growth = 1.2;     // of a range that was too short
constexpr double greatest_growth = 4;
constexpr double follow_past_onset = 1.05; // of its lift: enough for the search for the onset to see it

/// Where the gap lies and what it is measured from.
struct MeteringEdge {
    double radius_mm = 0;
    double rest_mm = 0; ///< of the face disc's deflection there when the gap is closed
};

/// The face disc's deflection at a radius; exact between the fine radii, where it is a cubic.
double faceDeflection(const PlateTables& tables, const StackState& state, double bending_n_mm,
                      double poisson_ratio, double radius_mm) {
    const std::vector<double>& radii = tables.fine_radii_mm;
    const auto nodes = static_cast<std::size_t>(tables.node_count);
    const auto upper = std::lower_bound(radii.begin() + 1, radii.end() - 1, radius_mm);
    const auto first = static_cast<std::size_t>(upper - radii.begin()) - 1;
    const double bubble = state.pressure_mpa * 12 * (1 - poisson_ratio * poisson_ratio) / bending_n_mm;
    const double h = radii[first + 1] - radii[first];
    const HermiteValues values = hermiteValues((radius_mm - radii[first]) / h, h);
    double deflection = 0;
    for (std::size_t end = 0; end < 2; ++end) {
        const std::size_t fine = first + end;
        double value = bubble * tables.pressure_deflection[fine];
        double slope = bubble * tables.pressure_slope[fine];
        for (std::size_t j = 0; j < nodes; ++j) {
            value += tables.deflection[fine * nodes + j] * state.deflection_mm[j];
            slope += tables.slope[fine * nodes + j] * state.deflection_mm[j];
        }
        deflection += values.value[2 * end] * value + values.value[2 * end + 1] * slope;
    }
    return deflection;
}

/// One stack on its way to one flow.
class OpeningSearch {
public:
    OpeningSearch(const StackSpec& stack, std::span<const ValveFlow> flows, double speed_m_s)
        : m_stack(stack), m_flows(flows), m_speed_m_s(speed_m_s), m_grouped(groupStack(stack)),
          m_model(stack.valve(), m_grouped.shapes), m_workspace(m_model.makeWorkspace()),
          m_friction(stack, m_grouped, m_model) {
        for (const ValveFlow& flow : flows) m_oils.push_back(oilAt(flow.oil, flow.temperature_c));
    }

    StackOpening run() {
        StackOpening opening;
        if (!findEdge(opening)) return opening;
        followRound(opening);
        if (m_knots.empty()) return opening;
        setFriction();
        const WarpOnsetResult warp = findWarpOnset(m_stack, m_grouped, m_model, m_workspace, m_states);
        opening.caution = warp.caution;
        if (!warp.converged) opening.caution = "Whether the discs warp is not known: " + warp.reason + ".";
        if (warp.onset) goOnWarped(*warp.onset, opening);
        if (m_knots.empty()) return opening; // it warps at once, and is not followed from there
        closeAtRest();
        opening.curve.emplace(m_edge.radius_mm, std::move(m_knots));
        return opening;
    }

private:
    bool findEdge(StackOpening& opening) {
        const ValveGeometry& valve = m_stack.valve();
        const bool raised_seat = valve.seat_diameter && valve.preload > Length();
        m_edge.radius_mm = (raised_seat ? *valve.seat_diameter : valve.port_outer_diameter).millimetres() / 2;
        if (raised_seat) {
            m_edge.rest_mm = valve.preload.millimetres();
            return true;
        }
        const std::vector<double> rest{0.0};
        std::vector<StackState> states;
        const SolveReport solve =
            m_model.statesAtPressures(m_grouped.sums, rest, Regime::large, m_workspace, states);
        if (solve.converged) {
            m_edge.rest_mm = deflection(states.front());
        } else {
            opening.reason = solve.reason;
        }
        return solve.converged;
    }

    double deflection(const StackState& state) const {
        const PlateTables* tables = m_model.tables(0);
        if (tables == nullptr) throw std::logic_error("a face disc has a free part");
        return faceDeflection(*tables, state, m_grouped.sums.front().bending_n_mm,
                              m_grouped.shapes.front().poisson_ratio, m_edge.radius_mm);
    }

    /// What is still short of the flow wanted, as the smallest ratio of the two over all flows.
    double reached(double pressure_mpa, double gap_mm) const {
        double least = 1e300;
        for (std::size_t i = 0; i < m_flows.size(); ++i) {
            const double wanted = 1000 * m_speed_m_s * m_flows[i].swept_area_mm2;
            const double flow =
                valveFlows(m_flows[i], m_oils[i], m_edge.radius_mm, pressure_mpa, gap_mm).total();
            least = std::min(least, flow / wanted);
        }
        return least;
    }

    /// A point that is no further than the one before is left out; the next will be.
    void add(double pressure_mpa, double gap_mm, double lift_mm, double lift_slope) {
        const double before = m_knots.empty() ? 0 : m_knots.back().pressure_mpa;
        const double gap_before = m_knots.empty() ? 0 : m_knots.back().opening.gap_mm;
        if (!(pressure_mpa > before * (1 + 1e-9))) return;
        // Friction is known of round discs; past them it stays at what it was last.
        const double friction = m_knots.empty() ? 0 : m_knots.back().friction_part;
        m_knots.push_back({pressure_mpa, {std::max(gap_before, gap_mm), lift_mm}, {0, lift_slope}, friction});
    }

    /// Of the knots that stand for round states, which are as many or fewer.
    void setFriction() {
        auto knot = m_knots.begin();
        for (const StackState& state : m_states) {
            if (knot == m_knots.end()) return;
            if (knot->pressure_mpa != state.pressure_mpa) continue; // it was left out
            // Below 0 where the edge would rather sink: the loop is as wide there.
            const double half_mm = std::abs(m_friction.halfWidth(state, Regime::large, 1.0).lift_mm);
            if (state.lift_slope_mm_per_mpa > 0)
                knot->friction_part =
                    partOfPressure(half_mm, state.lift_slope_mm_per_mpa, state.pressure_mpa);
            ++knot;
        }
    }

    void followRound(StackOpening& opening) {
        double range = first_lift_mm;
        for (;;) {
            std::vector<double> lifts{least_lift_part * range};
            for (int i = 1; i <= points; ++i)
                lifts.push_back(range * std::pow(static_cast<double>(i) / points, crowding));
            const SolveReport solve =
                m_model.statesAtLifts(m_grouped.sums, lifts, Regime::large, m_workspace, m_states);
            takeRound();
            opening.complete = !m_knots.empty() && m_reached >= 1;
            if (opening.complete) return;
            if (!solve.converged) {
                opening.reason = solve.reason;
                return;
            }
            if (range >= greatest_lift_mm) {
                opening.reason = "nothing is followed past 5 mm of lift";
                return;
            }
            // The flow rises with a power of the lift, taken from the last two points.
            double exponent = 1;
            if (m_reached_before > 0 && m_reached > m_reached_before)
                exponent = std::max(0.5, std::log(m_reached / m_reached_before) /
                                             std::log(lifts[lifts.size() - 1] / lifts[lifts.size() - 2]));
            const double growth =
                m_reached > 0 ? margin * std::pow(1 / m_reached, 1 / exponent) : greatest_growth;
            range = std::min(greatest_lift_mm, range * std::clamp(growth, least_growth, greatest_growth));
        }
    }

    /// The round states up to the first that passes the flow.
    void takeRound() {
        m_knots.clear();
        m_reached = m_reached_before = 0;
        for (std::size_t i = 0; i < m_states.size(); ++i) {
            const StackState& state = m_states[i];
            const double gap = std::max(0.0, deflection(state) - m_edge.rest_mm);
            add(state.pressure_mpa, gap, state.lift_mm, state.lift_slope_mm_per_mpa);
            m_reached_before = std::exchange(m_reached, reached(state.pressure_mpa, gap));
            if (m_reached < 1) continue;
            m_states.resize(i + 1);
            break;
        }
        setRoundSlopes();
    }

    /// The gap's slope by the chain rule: over the lift it is nearly straight, and the lift's own is known.
    void setRoundSlopes() {
        for (std::size_t i = 0; i < m_knots.size(); ++i) {
            const OpeningKnot& before = i > 0 ? m_knots[i - 1] : m_knots[i];
            const OpeningKnot& after = i + 1 < m_knots.size() ? m_knots[i + 1] : m_knots[i];
            const double lift = after.opening.lift_mm - before.opening.lift_mm;
            const double gap = after.opening.gap_mm - before.opening.gap_mm;
            if (lift > 0) m_knots[i].slope.gap_mm = gap / lift * m_knots[i].slope.lift_mm;
        }
    }

    /// In place of what the round solution says past the branch's start, where the flow goes past the onset.
    void goOnWarped(const WarpOnset& onset, StackOpening& opening) {
        WarpFollower follower(m_stack);
        const double last = onset.lift_mm * follow_past_onset;
        std::vector<double> lifts;
        for (int i = 1; i <= points / 2; ++i) lifts.push_back(last * i / (points / 2));
        follower.roundOverLifts(lifts);
        opening.onset = onset;
        if (!follower.onset()) {
            opening.caution =
                "The discs warp from " + pressureText(onset.pressure_mpa) +
                " MPa on, but the curve past it could not be followed: the round one stands for it.";
            return;
        }
        opening.caution = follower.caution();
        opening.complete = false;
        std::erase_if(m_knots,
                      [&](const OpeningKnot& knot) { return knot.pressure_mpa >= follower.roundUpToMpa(); });
        const std::size_t round = m_knots.size();
        bool followed = follower.follow(follower.roundUpToMpa());
        while (followed) {
            const double gap = follower.meanDeflection(m_edge.radius_mm) - m_edge.rest_mm;
            add(follower.pressure(), gap, follower.rim().mean_mm, 0);
            opening.complete = reached(follower.pressure(), gap) >= 1;
            if (opening.complete) break;
            followed = follower.followOneStep();
        }
        opening.reason = opening.complete ? "" : follower.reason();
        setWarpedSlopes(round);
        if (!m_knots.empty() && m_knots.back().pressure_mpa > checked_onset_loads * onset.pressure_mpa) {
            if (!opening.caution.empty()) opening.caution += ' ';
            opening.caution +=
                "Past 1.5 times the load at which warping begins the warped curve was not checked.";
        }
    }

    /// Those of parabolas through three neighbours.
    void setWarpedSlopes(std::size_t first) {
        for (std::size_t i = std::max<std::size_t>(first, 1); i < m_knots.size(); ++i) {
            const OpeningKnot& before = m_knots[i - 1];
            OpeningKnot& here = m_knots[i];
            const double step = here.pressure_mpa - before.pressure_mpa;
            for (double Opening::*column : {&Opening::gap_mm, &Opening::lift_mm}) {
                const double chord = (here.opening.*column - before.opening.*column) / step;
                here.slope.*column = chord;
                if (i + 1 == m_knots.size()) continue;
                const OpeningKnot& after = m_knots[i + 1];
                const double next_step = after.pressure_mpa - here.pressure_mpa;
                const double next_chord = (after.opening.*column - here.opening.*column) / next_step;
                here.slope.*column = (chord * next_step + next_chord * step) / (step + next_step);
            }
        }
    }

    /// With a raised seat the disc holds until a pressure, which the first two points show.
    void closeAtRest() {
        const auto open = std::find_if(m_knots.begin(), m_knots.end(),
                                       [](const OpeningKnot& knot) { return knot.opening.gap_mm > 0; });
        if (m_stack.valve().preload == Length() || open == m_knots.end() || open + 1 == m_knots.end()) return;
        const double rate = ((open + 1)->opening.gap_mm - open->opening.gap_mm) /
                            ((open + 1)->pressure_mpa - open->pressure_mpa);
        const double opens_at = open->pressure_mpa - open->opening.gap_mm / rate;
        const double before = open == m_knots.begin() ? 0 : (open - 1)->pressure_mpa;
        if (rate > 0 && opens_at > before && opens_at < open->pressure_mpa)
            m_knots.insert(open, {opens_at, {0, 0}, {}, open->friction_part});
    }

    const StackSpec& m_stack;
    std::span<const ValveFlow> m_flows;
    double m_speed_m_s;
    std::vector<OilState> m_oils;
    GroupedStack m_grouped;
    LiftModel m_model;
    LiftWorkspace m_workspace;
    DiscFriction m_friction;
    MeteringEdge m_edge;
    std::vector<StackState> m_states;
    std::vector<OpeningKnot> m_knots;
    double m_reached = 0, m_reached_before = 0;
};

} // namespace

StackOpening openingOverFlow(const StackSpec& stack, std::span<const ValveFlow> flows, double speed_m_s) {
    if (flows.empty() || !(speed_m_s > 0)) throw std::logic_error("an opening needs a flow and a speed");
    return OpeningSearch(stack, flows, speed_m_s).run();
}

} // namespace shimledger::planner
