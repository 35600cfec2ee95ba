// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/contact_layout.h"
#include "planner/mechanics/disc_group.h"
#include "planner/mechanics/lift_model.h"
#include "planner/mechanics/lobed_contacts.h"
#include "planner/mechanics/lobed_plate.h"
#include "planner/mechanics/refilled_system.h"
#include "planner/stack/stack_spec.h"

#include <Eigen/Core>

#include <vector>

namespace shimledger::planner {

/// A whole stack in lobed shape: a LobedPlate for every group, one-sided contact between neighbours at every
/// node and ten angles of half a lobe (stiff penalty, see .cpp), Newton at given pressures. A half-percent
/// lobed part of the pressure leads off the round branch.
class LobedStack {
public:
    struct Rim {
        double mean_mm = 0, min_mm = 0, max_mm = 0;
    };

    /// Starts at a pressure below the onset.
    LobedStack(const StackSpec& stack, const GroupedStack& grouped, int lobes, double start_pressure_mpa);

    [[nodiscard]] bool started() const { return m_started; }
    [[nodiscard]] double pressure() const { return m_pressure; }
    /// False, and the state unchanged, where Newton does not settle.
    [[nodiscard]] bool toPressure(double pressure_mpa);
    /// Lift of the face disc's rim from rest.
    [[nodiscard]] Rim rim() const;
    /// Of the face disc at a radius of its free part, over the angle; not from rest but from the clamp's
    /// plane.
    [[nodiscard]] double meanDeflection(double radius_mm) const;

private:
    [[nodiscard]] bool startRound(const StackSpec& stack, const GroupedStack& grouped, double pressure_mpa);
    void numberDofs();
    void addContacts(const std::vector<double>& rest_gaps);
    void assemble(const Eigen::VectorXd& x, double pressure, Eigen::VectorXd& residual);
    [[nodiscard]] bool solve(double pressure_mpa, Eigen::VectorXd x, int rounds);
    [[nodiscard]] int nodeBase(int group, int dof) const;

    ContactLayout m_layout;
    std::vector<GroupShape> m_shapes;
    std::vector<LobedPlate> m_plates;
    std::vector<int> m_plate_of_group; ///< -1 without a free part
    std::vector<int> m_first;          ///< of each group's mesh nodes in the state vector
    std::vector<int> m_free;           ///< state freedom -> unknown, -1 where clamped
    LobedContacts m_contacts;
    Eigen::VectorXd m_state, m_load;
    RefilledSystem m_system;
    Eigen::VectorXd m_before; ///< the state before the present one, and its pressure
    double m_before_pressure = 0;
    bool m_started = false;
    double m_pressure = 0;
    double m_preload_mm = 0;
    double m_rest_edge_mm = 0;
    double m_touching_mm = 0; ///< a gap below this counts as closed
    int m_unknowns = 0;
};

} // namespace shimledger::planner
