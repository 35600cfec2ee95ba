// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/refilled_system.h"

#include <Eigen/Core>

#include <array>
#include <vector>

namespace shimledger::planner {

/// One-sided contact of a stack in lobed shape: at every node where two groups can meet, a stiff spring at
/// each of ten angles of half a lobe that pushes and never pulls. State vectors hold the harmonics w0, wn,
/// w2n of a node with their slopes between them, see `deflection_places`.
class LobedContacts {
public:
    /// Where the deflection's harmonics sit among a node's freedoms (value, slope for each field).
    static constexpr std::array<int, 3> deflection_places = {0, 2, 4};

    struct Contact {
        int lower = -1, upper = -1; ///< first freedom of the nodes in a state vector; -1: a fixed seat
        double gap_mm = 0;          ///< at rest
        double area_mm2 = 0;        ///< of the plates that the node stands for
    };
    void add(const Contact& contact) { m_contacts.push_back(contact); }

    /// Adds the springs that press at state `x` to the residual, and always the same entries, some of them 0,
    /// to the system; `free` gives the unknown of every freedom. Gaps below `touching_mm` press.
    void addTo(const Eigen::VectorXd& x, double touching_mm, const std::vector<int>& free,
               RefilledSystem& system, Eigen::VectorXd& residual) const;

    /// How much of a Newton step to go, at most all of it: to where the energy along it is least, with the
    /// plates' energy as the parabola that Newton's method takes it for and the contacts' as it is.
    [[nodiscard]] double stepPart(const Eigen::VectorXd& x, const Eigen::VectorXd& step,
                                  const Eigen::VectorXd& residual) const;

private:
    std::vector<Contact> m_contacts;
};

} // namespace shimledger::planner
