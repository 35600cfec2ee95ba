// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/disc_group.h"
#include "planner/mechanics/lobed_element.h"
#include "planner/mechanics/lobed_membrane.h"
#include "planner/mechanics/plate_tables.h"
#include "planner/mechanics/round_shape.h"

#include <array>
#include <vector>

namespace shimledger::planner {

/// The second variation of one group's von Karman energy about a round state, for disturbances
/// W(r) cos(n theta): bending, what the round state's forces do, and the membrane. W has cubic Hermite
/// elements between the contact nodes. The factor pi of the integral over the angle is left out everywhere.
class LobedGroup {
public:
    LobedGroup(const PlateTables& tables, const GroupShape& shape);

    /// Freedoms: W and W' at the contact nodes in turn.
    [[nodiscard]] int size() const { return m_size; }

    /// `round` with its forces.
    void setState(const RoundShape& round, const GroupSums& sums);
    /// The lower triangle by rows, size() x size(), into `matrix`.
    void evaluate(int lobes, std::vector<double>& matrix);
    /// True where the group is stable for this many lobes even alone and without its membrane, which only
    /// adds stiffness: quick to find out, and then nothing has to be looked at more closely.
    [[nodiscard]] bool surelyStable(int lobes);

private:
    using Square = std::array<double, 16>;
    struct Stiffness {
        std::array<Square, 3> bending{}; ///< of an element for D = 1, by power of n^2
        Square radial{}, hoop{};         ///< what the forces do: the second times n^2
    };

    void makeBending();
    void makeBand(int lobes);

    double m_poisson;
    int m_size;
    std::vector<LobedElement> m_elements;
    LobedMembrane m_membrane;
    std::vector<Stiffness> m_stiffness; ///< by element
    std::vector<std::array<double, lobed_points>> m_slopes;
    double m_rigidity = 0, m_extension = 0;
    std::vector<double> m_band;
};

} // namespace shimledger::planner
