// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/lift_curve.h"
#include "planner/mechanics/lift_model.h"
#include "planner/stack/stack_spec.h"

#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace shimledger::planner {

/// A gap at rest that closes: the crossover joining in.
struct GapClosing {
    int lower_row = 0; ///< 0-based rows of the stack whose discs meet: the one nearer the face ...
    int upper_row = 0; ///< ... and the one nearer the clamp
    double radius_mm = 0;
    double lift_mm = 0;
    double pressure_mpa = 0;
};

/// What the discs of one row go through at full lift.
struct RowStress {
    double bending_mpa = 0;  ///< largest bending stress at a face of one disc
    double membrane_mpa = 0; ///< radial membrane stress at the same radius
    double radius_mm = 0;    ///< where
};

/// Shape of one row's discs, middle plane above its own rest height.
struct DiscShape {
    std::vector<double> radii_mm;
    std::vector<double> deflection_mm;
    double rest_height_mm = 0; ///< lower face above the piston-side clamp plane
};

/// Everything that is told about one stack beside its curve.
struct StackReport {
    LiftCurve curve;
    std::vector<GapClosing> closings; ///< in the order of lift
    std::vector<double>
        load_share; ///< by row, at the last point: part of the load led into the clamp; sums to 1
    std::vector<RowStress> stresses;   ///< by row, at the last point
    std::vector<std::string> warnings; ///< sentences
    /// A sentence where a rule of thumb says that the discs may warp; "" below it. findWarpOnset knows better
    /// and takes longer.
    std::string warp_warning;
    /// With preload: the pressure at which the face disc leaves its seat. The edge outside the seat may sink
    /// by a few micrometres before that, as the ports push between clamp and seat.
    std::optional<double> opening_pressure_mpa;
    bool converged = false;
    std::string reason; ///< why not
};

/// Follows one stack and reports. A convenience over LiftModel for whoever wants one stack rather than
/// a million.
///
/// Example: const StackReport report = StackLift(stack).overLift(0.30, Regime::large);
class StackLift {
public:
    explicit StackLift(StackSpec stack, const GridOptions& options = GridOptions::portGrid());
    /// Of discs that are not as thick as the rows say: the sums of each group, as groupStack() has them.
    StackLift(StackSpec stack, std::vector<GroupSums> sums,
              const GridOptions& options = GridOptions::portGrid());
    ~StackLift();
    StackLift(StackLift&&) noexcept;
    StackLift& operator=(StackLift&&) noexcept;

    /// From rest to `lift_mm` > 0 in `points` equal steps; with the half widths of this coefficient of
    /// friction between the discs.
    [[nodiscard]] StackReport overLift(double lift_mm, Regime regime, int points = 30,
                                       double friction_coefficient = 0);
    /// At these ascending pressures; the curve has exactly these points.
    [[nodiscard]] StackReport atPressures(std::span<const double> pressures_mpa, Regime regime,
                                          double friction_coefficient = 0);

    /// The shape of every row's discs at one lift, for drawing; none where the lift cannot be reached.
    /// A row as wide as the clamp has an empty shape.
    [[nodiscard]] std::optional<std::vector<DiscShape>> shapesAt(double lift_mm, Regime regime);

    [[nodiscard]] const StackSpec& stack() const { return m_stack; }

private:
    [[nodiscard]] std::vector<GapClosing> closings(const std::vector<StackState>& states) const;
    [[nodiscard]] std::vector<double> loadShares(const StackState& state) const;
    [[nodiscard]] std::vector<RowStress> stresses(const StackState& state, Regime regime) const;
    [[nodiscard]] std::optional<double> openingPressure(Regime regime);
    [[nodiscard]] StackReport report(const std::vector<StackState>& states, const SolveReport& solve,
                                     Regime regime, double friction_coefficient);

    StackSpec m_stack;
    GroupedStack m_grouped;
    std::unique_ptr<LiftModel> m_model;
    std::unique_ptr<LiftWorkspace> m_workspace;
};

} // namespace shimledger::planner
