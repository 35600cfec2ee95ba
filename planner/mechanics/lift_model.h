// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/contact_layout.h"
#include "planner/mechanics/disc_group.h"
#include "planner/mechanics/plate_tables.h"

#include <memory>
#include <span>
#include <string>
#include <vector>

namespace shimledger::planner {

class ContactSolver;

enum class Regime { small, large }; ///< Kirchhoff; von Karman

/// How a solve ended. `reason` is empty when it converged and otherwise one sentence.
struct SolveReport {
    bool converged = false;
    std::string reason;
    int newton_steps = 0; ///< linear solves, all points together
};

/// Everything that an evaluation writes. Make one per thread; it may be reused for any number of
/// evaluations of the model that made it, and later ones start from the contacts of earlier ones
/// without depending on them for their answer.
class LiftWorkspace {
public:
    ~LiftWorkspace();
    LiftWorkspace(LiftWorkspace&&) noexcept;
    LiftWorkspace& operator=(LiftWorkspace&&) noexcept;

private:
    friend class LiftModel;
    struct State;
    explicit LiftWorkspace(std::unique_ptr<State> state);
    std::unique_ptr<State> m_state;
};

/// The solution at one point, for reports and drawings. All in mm, N and MPa.
struct StackState {
    double pressure_mpa = 0;
    double lift_mm = 0;
    double lift_slope_mm_per_mpa = 0;    ///< d lift / d pressure
    std::vector<double> deflection_mm;   ///< by dof, see ContactLayout
    std::vector<double> contact_force_n; ///< by pair, never negative; 0 where open
    std::vector<double> gap_mm;          ///< by pair, 0 where closed
    double seat_force_n = 0;
    /// By dof: d deflection / d pressure, and what a force on the face's outer edge (N around it) adds.
    std::vector<double> response_mm_per_mpa;
    std::vector<double> edge_influence_mm_per_n;
};

/// Pressure-lift behaviour of all stacks of one order of diameters in one valve, whatever the discs:
/// tables are made once, then an evaluation takes the sums of each group. Immutable after construction,
/// so threads may share it; no evaluation allocates.
///
/// Model: see DESIGN-level notes in README of this folder. Lift is the rise of the face disc's outer
/// edge from its rest position without pressure (with a raised seat the rest position is already bent).
///
/// Example:
///   const GroupedStack grouped = groupStack(stack);
///   const LiftModel model(stack.valve(), grouped.shapes);
///   LiftWorkspace workspace = model.makeWorkspace();
///   std::vector<double> lifts{0.1, 0.2, 0.3}, pressures(3);
///   model.pressuresAtLifts(grouped.sums, lifts, Regime::large, workspace, pressures);
class LiftModel {
public:
    LiftModel(const ValveGeometry& valve, std::vector<GroupShape> shapes, const GridOptions& options = {});
    ~LiftModel();
    LiftModel(LiftModel&&) noexcept;
    LiftModel& operator=(LiftModel&&) noexcept;

    [[nodiscard]] LiftWorkspace makeWorkspace() const;

    /// Pressures (MPa) at ascending lifts > 0 (mm). On failure the remaining pressures are 0.
    [[nodiscard]] SolveReport pressuresAtLifts(std::span<const GroupSums> sums,
                                               std::span<const double> lifts_mm, Regime regime,
                                               LiftWorkspace& workspace,
                                               std::span<double> pressures_mpa) const;

    /// Pressures as above, and d log p / d log sum at each lift: by lift, each group's bending and membrane
    /// sum in turn (2 x groups). Gaps stay as they are.
    [[nodiscard]] SolveReport elasticitiesAtLifts(std::span<const GroupSums> sums,
                                                  std::span<const double> lifts_mm, Regime regime,
                                                  LiftWorkspace& workspace, std::span<double> pressures_mpa,
                                                  std::span<double> elasticities) const;

    /// Lifts (mm) at ascending pressures >= 0 (MPa). On failure the remaining lifts are 0.
    [[nodiscard]] SolveReport liftsAtPressures(std::span<const GroupSums> sums,
                                               std::span<const double> pressures_mpa, Regime regime,
                                               LiftWorkspace& workspace, std::span<double> lifts_mm) const;

    /// The same, keeping the whole state at each point.
    [[nodiscard]] SolveReport statesAtLifts(std::span<const GroupSums> sums, std::span<const double> lifts_mm,
                                            Regime regime, LiftWorkspace& workspace,
                                            std::vector<StackState>& states) const;
    /// One state at a lift between those of two neighbouring states that statesAtLifts or statesAtPressures
    /// gave for the same stack; for a fraction of the cost of the way from rest.
    [[nodiscard]] SolveReport stateBetween(std::span<const GroupSums> sums, const StackState& before,
                                           const StackState& after, double lift_mm, Regime regime,
                                           LiftWorkspace& workspace, StackState& state) const;
    [[nodiscard]] SolveReport statesAtPressures(std::span<const GroupSums> sums,
                                                std::span<const double> pressures_mpa, Regime regime,
                                                LiftWorkspace& workspace,
                                                std::vector<StackState>& states) const;

    [[nodiscard]] const ContactLayout& layout() const;
    [[nodiscard]] const std::vector<GroupShape>& shapes() const;
    /// Tables of one group; groups as wide as the clamp have none (nullptr).
    [[nodiscard]] const PlateTables* tables(int group) const;

private:
    /// Throws std::logic_error where the sums or the workspace are another model's.
    [[nodiscard]] ContactSolver& checkedSolver(std::span<const GroupSums> sums,
                                               LiftWorkspace& workspace) const;

    struct Parts;
    std::unique_ptr<const Parts> m_parts;
};

} // namespace shimledger::planner
