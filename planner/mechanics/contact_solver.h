// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/contact_layout.h"
#include "planner/mechanics/envelope_matrix.h"
#include "planner/mechanics/lift_model.h"
#include "planner/mechanics/path_memory.h"

#include <array>
#include <memory>
#include <span>
#include <vector>

namespace shimledger::planner {

/// Static data of one model, shared by all its solvers.
struct ModelParts {
    ContactLayout layout;
    std::vector<GroupShape> shapes;
    std::vector<std::shared_ptr<const PlateTables>> tables; ///< by group; null where it has no nodes
    std::vector<int> block_start;                           ///< of each group's dense matrix
    double preload_mm = 0;
    double port_area_mm2 = 0;
};

/// Finds equilibria of one stack: Newton's method on the plate energies with the contacts as an active
/// set. Closed contacts share one unknown, so a step solves a small positive definite system; after it,
/// contacts that would pull are opened and overlaps are closed. Where changing them all at once does not
/// settle, an interior-point method finds them.
class ContactSolver {
public:
    explicit ContactSolver(const ModelParts& parts);

    /// Takes a stack and finds its rest position.
    [[nodiscard]] SolveReport begin(std::span<const GroupSums> sums, Regime regime);

    /// From the present state to the given lift above rest, or to the given pressure.
    [[nodiscard]] bool toLift(double lift_mm);
    [[nodiscard]] bool toPressure(double pressure_mpa);
    /// After begin(): to a lift between those of two states of the same stack, starting from between them.
    [[nodiscard]] bool between(const StackState& before, const StackState& after, double lift_mm);

    [[nodiscard]] double pressure() const { return m_pressure; }
    [[nodiscard]] double lift() const;
    [[nodiscard]] int steps() const { return m_steps; }
    [[nodiscard]] StackState state() const;
    /// After toLift(): how much each group's bending and membrane sum (in turn) changes the pressure at this
    /// lift, as d log p / d log sum. Not for stacks that are bent at rest, whose rest would move as well.
    [[nodiscard]] bool elasticities(std::span<double> of_sums);
    /// Bent without pressure, by a ring or a seat.
    [[nodiscard]] bool strained() const { return m_strained; }
    /// True where the last failure was a singular system rather than an unsettled one.
    [[nodiscard]] bool singular() const { return m_singular; }
    /// True where the edge would have to sink under pressure to get there.
    [[nodiscard]] bool edgeSinks() const { return m_edge_sinks; }

private:
    enum class Control { lift, pressure };
    enum class Tangent { renew, keep };
    struct InteriorPoint {
        std::vector<double> deflection, slack, force, slack_step, force_step; ///< by dof, then by contact
    };

    bool advance(Control control, double target, int depth);
    bool growPreload();
    bool newton(Control control, double target);
    bool solveUnknowns(Tangent tangent);
    bool solveLinearised(Control control, double target, Tangent tangent = Tangent::renew);
    int updateContacts();
    /// False after so many linear solves that a stack is hopeless.
    [[nodiscard]] bool stepsLeft() const { return m_steps <= 10'000; }
    bool flipContacts(double pressure);
    bool settleAtPressure(double pressure);
    bool settleByInteriorPoint(double pressure);
    void layDownLooseRings();
    void numberForInteriorPoint();
    bool factorForInteriorPoint(const InteriorPoint& point);
    [[nodiscard]] double gapOf(std::size_t i, const std::vector<double>& w) const;
    void addContact(std::size_t i, double factor, std::vector<double>& forces) const;
    bool settleContacts(Control control, double target);
    void evaluatePlates(Tangent tangent);
    void assemble();
    void addMembrane(const PlateTables& tables, double membrane, const double* w, double* internal,
                     double* block);
    void numberUnknowns();
    void predict(Control control, double target);
    void startFromContacts(const std::vector<char>* closed);
    [[nodiscard]] double position(Control control) const {
        return control == Control::lift ? edge() : m_pressure;
    }
    [[nodiscard]] PathMemory& path(Control control) {
        const std::size_t place = 2 * static_cast<std::size_t>(m_regime) + static_cast<std::size_t>(control);
        return m_paths[place];
    }
    void product(const double* x, double* y) const;
    /// Of a group's plate, N mm.
    [[nodiscard]] double rigidityOf(int group) const {
        const auto g = static_cast<std::size_t>(group);
        const double poisson_ratio = m_parts->shapes[g].poisson_ratio;
        return m_sums[g].bending_n_mm / (12 * (1 - poisson_ratio * poisson_ratio));
    }
    /// Where the plates are linearised: at no deflection where they are linear.
    [[nodiscard]] double origin(std::size_t dof) const {
        return m_regime == Regime::small ? 0.0 : m_deflection[dof];
    }
    [[nodiscard]] double edge() const {
        return m_deflection[static_cast<std::size_t>(m_parts->layout.edge_dof)];
    }
    void computeForces();

    const ModelParts* m_parts;
    Regime m_regime = Regime::large;
    std::span<const GroupSums> m_sums;

    std::vector<double> m_heights, m_gaps, m_blocks, m_modes;
    std::vector<double> m_deflection, m_internal, m_next, m_offset, m_scratch, m_product, m_force,
        m_force_noise, m_response, m_influence;
    std::vector<double> m_saved_deflection, m_saved_response, m_older_deflection;
    std::vector<double> m_constant, m_per_pressure;
    std::vector<int> m_unknown, m_first;
    std::vector<char> m_closed, m_saved_closed;
    std::array<PathMemory, 4> m_paths; ///< by Regime, then Control
    bool m_older_known = false;        ///< whether the point before this one may bend the prediction
    double m_older_position = 0;
    bool m_strained = false; ///< by a preload: bent without pressure
    bool m_seat_closed = false;
    double m_seat_force = 0;
    double m_pressure = 0;
    double m_rest_edge = 0;
    double m_edge_response = 0;
    double m_force_scale = 0;
    double m_gap_tolerance_mm = 0;
    bool m_blocks_current = false;
    bool m_solution_current = false;
    bool m_singular = false;
    bool m_edge_sinks = false;
    int m_steps = 0;
    EnvelopeMatrix m_matrix;
    InteriorPoint m_interior;
};

} // namespace shimledger::planner
