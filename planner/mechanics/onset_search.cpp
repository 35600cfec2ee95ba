// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/onset_search.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <utility>

namespace shimledger::planner {

namespace {

constexpr double widest_look_mm = 0.06;   // between looks
constexpr double closest_look_mm = 0.004; // where a gap closes: a shorter stretch of warping counts as none
constexpr double lift_resolution_mm = 0.001;
constexpr double settled_mm = 0.0003; // a place of the zero that moved by less is settled
constexpr int most_halvings = 40;
constexpr int most_parts = 100; // looks between two states, however far apart

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

} // namespace

OnsetSearch::Contacts OnsetSearch::pressingAt(const StackState& state) {
    Contacts pressing;
    for (const double force : state.contact_force_n) pressing.push_back(force > 0 ? 1 : 0);
    return pressing;
}

OnsetSearch::OnsetSearch(const GroupedStack& grouped, const LiftModel& model, LiftWorkspace& workspace)
    : m_grouped(grouped), m_model(model), m_workspace(workspace), m_stability(model, grouped.sums) {
    const ContactLayout& layout = model.layout();
    std::vector<double> heights(grouped.shapes.size()), gaps(layout.pairs.size());
    restGaps(layout, grouped.shapes, grouped.sums.data(), heights.data(), gaps.data());
    for (const double gap : gaps) m_held.pressing.push_back(gap <= 0 ? 1 : 0);
    m_held.state.deflection_mm.assign(at(layout.dofCount()), 0.0);
    m_held.state.gap_mm = std::move(gaps);
}

/// Up to a state further along; true where lobes are lost on the way.
bool OnsetSearch::passes(const StackState& state) {
    const double way = state.lift_mm - m_held.state.lift_mm;
    const int parts = std::clamp(static_cast<int>(std::ceil(way / widest_look_mm - 1e-9)), 1, most_parts);
    const double from = m_held.state.lift_mm;
    for (int part = 1; part < parts; ++part) {
        StackState next;
        // Where there is no equilibrium, though at the end there is one, it is a look less.
        if (stateAt(m_held.state, state, from + way * part / parts, next) && passesCloseBy(std::move(next)))
            return true;
    }
    return passesCloseBy(state);
}

/// Between the last held look and the first lost one.
WarpOnset OnsetSearch::narrowDown() {
    for (int halving = 0; halving < most_halvings; ++halving) {
        const double span = m_lost.state.lift_mm - m_held.state.lift_mm;
        if (span <= lift_resolution_mm) break;
        const auto [guess, lobes] = earliestZero();
        const double margin = 0.02 * span;
        Look next;
        if (!stateAt(m_held.state, m_lost.state,
                     std::clamp(guess, m_held.state.lift_mm + margin, m_lost.state.lift_mm - margin),
                     next.state))
            break;
        next.pressing = pressingAt(next.state);
        m_stability.setState(next.state, next.pressing);
        for (const int asked : m_lost.lost) hold(next, asked);
        const double here = next.state.lift_mm;
        m_held_is_nearer = next.lost.empty();
        (m_held_is_nearer ? m_held : m_lost) = next;
        const auto [zero, first_lobes] = earliestZero();
        if (lobes > 0 && first_lobes > 0 && std::abs(zero - here) < settled_mm) {
            WarpOnset onset{next.state.pressure_mpa, zero, first_lobes, 0};
            if (next.state.lift_slope_mm_per_mpa > 0)
                onset.pressure_mpa += (zero - here) / next.state.lift_slope_mm_per_mpa;
            return onset;
        }
    }
    return {m_lost.state.pressure_mpa, m_lost.state.lift_mm, m_lost.lost.front(), 0};
}

bool OnsetSearch::stateAt(const StackState& before, const StackState& after, double lift_mm,
                          StackState& state) {
    if (m_model.stateBetween(m_grouped.sums, before, after, lift_mm, Regime::large, m_workspace, state)
            .converged)
        return true;
    std::vector<StackState> from_rest;
    if (!m_model.statesAtLifts(m_grouped.sums, {&lift_mm, 1}, Regime::large, m_workspace, from_rest)
             .converged)
        return false;
    state = std::move(from_rest.back());
    return true;
}

/// Discs may warp just before a gap closes and be held by what it meets: where that may be so, the way is
/// halved until it is seen or as short as the closest look.
bool OnsetSearch::passesCloseBy(StackState state) {
    std::vector<StackState> ahead{std::move(state)}; // the nearest last
    while (!ahead.empty()) {
        Look next = lookAt(ahead.back());
        const double held = m_held.state.lift_mm, here = next.state.lift_mm;
        StackState middle;
        if (next.doubtful && here - held > closest_look_mm &&
            stateAt(m_held.state, next.state, 0.5 * (held + here), middle)) {
            ahead.push_back(std::move(middle));
            continue;
        }
        if (!next.lost.empty()) {
            m_lost = std::move(next);
            return true;
        }
        m_held = std::move(next);
        ahead.pop_back();
    }
    return false;
}

/// With the contacts of both looks first: what they hold is held by those of this one, which are more.
OnsetSearch::Look OnsetSearch::lookAt(const StackState& state) {
    Look look;
    look.state = state;
    look.pressing = pressingAt(state);
    Contacts both = look.pressing;
    for (std::size_t i = 0; i < both.size(); ++i) both[i] = both[i] && m_held.pressing[i] ? 1 : 0;
    const bool same = both == look.pressing;
    m_stability.setState(state, both);
    std::vector<int> asked;
    for (int lobes = fewest_lobes; lobes <= most_lobes; ++lobes) {
        if (m_stability.surelyStable(lobes)) continue;
        if (same) {
            hold(look, lobes);
        } else if (!m_stability.hold(lobes).stable) {
            asked.push_back(lobes);
        }
    }
    if (!asked.empty()) m_stability.setContacts(look.pressing);
    for (const int lobes : asked) hold(look, lobes);
    look.doubtful = !asked.empty();
    return look;
}

void OnsetSearch::hold(Look& look, int lobes) {
    const LobedStability::Hold hold = m_stability.hold(lobes);
    look.rim_stiffness[at(lobes)] = hold.rim_stiffness;
    if (!hold.stable) look.lost.push_back(lobes);
}

/// Where the line through the rim's stiffness at both looks is 0, of the number of lobes for which that
/// is earliest, and that number; the middle and 0 where it is not known.
std::pair<double, int> OnsetSearch::earliestZero() {
    const double held = m_held.state.lift_mm, lost = m_lost.state.lift_mm;
    std::pair<double, int> earliest{std::numeric_limits<double>::infinity(), 0};
    for (const int lobes : m_lost.lost) {
        std::optional<double>& low = m_held.rim_stiffness[at(lobes)];
        const std::optional<double>& high = m_lost.rim_stiffness[at(lobes)];
        if (!low && held > 0) { // was told stable by a bound
            m_stability.setState(m_held.state, m_held.pressing);
            low = m_stability.hold(lobes).rim_stiffness;
        }
        if (!low || !high || !(*high < 0)) return {0.5 * (held + lost), 0};
        const double zero = held + (lost - held) * *low / (*low - *high);
        if (zero < earliest.first) earliest = {zero, lobes};
    }
    return earliest;
}

int OnsetSearch::softestGroup(int lobes) {
    // Whichever look lies nearer the onset is next to neutral.
    const Look& look = m_held_is_nearer ? m_held : m_lost;
    m_stability.setState(look.state, look.pressing);
    return m_stability.softestGroup(lobes);
}

} // namespace shimledger::planner
