// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/disc_group.h"
#include "planner/mechanics/lift_model.h"
#include "planner/mechanics/lobed_stability.h"
#include "planner/mechanics/warp_onset.h"

#include <array>
#include <optional>
#include <utility>
#include <vector>

namespace shimledger::planner {

/// Walks along the round states of one stack and looks where a lobed disturbance is first no longer held.
class OnsetSearch {
public:
    OnsetSearch(const GroupedStack& grouped, const LiftModel& model, LiftWorkspace& workspace);

    /// Up to a state further along; true where lobes are lost on the way.
    [[nodiscard]] bool passes(const StackState& state);
    /// After that, where between the last held look and the first lost one; the row is left open.
    [[nodiscard]] WarpOnset narrowDown();
    /// The group that warps most there.
    [[nodiscard]] int softestGroup(int lobes);

private:
    using Contacts = std::vector<char>; ///< by pair of the layout: whether it presses

    /// A round state and what each number of lobes meets there.
    struct Look {
        StackState state;
        Contacts pressing;
        std::array<std::optional<double>, most_lobes + 1> rim_stiffness; ///< see LobedStability::Hold
        std::vector<int> lost; ///< numbers of lobes that are no longer held
        bool doubtful = false; ///< lost without the contacts that the look before did not have
    };

    static Contacts pressingAt(const StackState& state);
    bool stateAt(const StackState& before, const StackState& after, double lift_mm, StackState& state);
    bool passesCloseBy(StackState state);
    Look lookAt(const StackState& state);
    void hold(Look& look, int lobes);
    std::pair<double, int> earliestZero();

    const GroupedStack& m_grouped;
    const LiftModel& m_model;
    LiftWorkspace& m_workspace;
    LobedStability m_stability;
    Look m_held, m_lost;           ///< m_held starts at rest
    bool m_held_is_nearer = false; ///< to the onset
};

} // namespace shimledger::planner
