// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/envelope_matrix.h"
#include "planner/mechanics/lift_model.h"
#include "planner/mechanics/lobed_group.h"

#include <optional>
#include <vector>

namespace shimledger::planner {

/// Whether a round state of a whole stack holds lobed disturbances: the groups' second variations, held
/// together where they press on one another.
class LobedStability {
public:
    LobedStability(const LiftModel& model, const std::vector<GroupSums>& sums);

    /// Takes a round state whose discs are held together at these contacts (by pair of the layout).
    void setState(const StackState& state, const std::vector<char>& pressing);
    /// Other contacts at the same state. More of them never make a stable state unstable.
    void setContacts(const std::vector<char>& pressing);

    /// What a disturbance of one number of lobes meets.
    struct Hold {
        bool stable = false;
        /// Stiffness of the face's rim against it, for finding where it vanishes: above 0 where stable, and
        /// falls through 0 where the face's rim is what gives way first. None where that is not known.
        std::optional<double> rim_stiffness;
    };
    [[nodiscard]] Hold hold(int lobes);
    /// True where `hold` need not be asked: a bound that is quick to find says stable.
    [[nodiscard]] bool surelyStable(int lobes);

    /// The group that moves most in the softest disturbance of the present state.
    [[nodiscard]] int softestGroup(int lobes);

private:
    [[nodiscard]] bool factor(int lobes);
    [[nodiscard]] int unknownOf(int group, int freedom) const;

    const LiftModel& m_model;
    const std::vector<GroupSums>& m_sums;
    std::vector<std::optional<LobedGroup>> m_groups; ///< none where a group has no free part
    std::vector<int> m_unknown;                      ///< of every freedom, two a dof of the layout
    std::vector<int> m_master, m_first;
    std::vector<double> m_matrix, m_solution;
    RoundShape m_round;
    EnvelopeMatrix m_system;
    int m_unknowns = 0;
};

} // namespace shimledger::planner
