// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/damping/damping_fit.h"
#include "planner/damping/damping_study.h"
#include "planner/stack/stack_spec.h"
#include "planner/stack/valve_flow.h"

#include <QString>

#include <optional>
#include <span>
#include <vector>

namespace shimledger::desk {

/// The valve that both stacks work in, as far as it is told.
struct ValveInput {
    planner::ValveFlow flow;
    bool rebound = false; ///< forces are drawn below zero then
    QString assumed;      ///< a sentence on what was taken from what is usual; empty: all is told
    QString fitted_to;    ///< the readings that figures were fitted to; empty: none

    bool operator==(const ValveInput&) const = default;
};

/// What a shop's own test bench read, of the stack that is shown.
struct BenchReadings {
    QString name; ///< of their file
    std::vector<planner::MeasuredForce> forces;
};

/// Target and substitute over shaft speed, for drawing.
struct ForceCurves {
    bool rebound = false;
    planner::DampingStudy target;
    std::optional<planner::DampingStudy> substitute;
    std::optional<planner::DampingComparison> comparison; ///< of the substitute with the target
    BenchReadings readings;                               ///< none: no forces
    std::optional<planner::DampingFit>
        fit;             ///< of the gap's discharge to them, the substitute's where there is one
    QString fit_problem; ///< why there is none, a sentence

    [[nodiscard]] double signOfForce() const { return rebound ? -1 : 1; }
};

/// Round figures up to 2 m/s, closer where a rider feels them (common practice, no source).
[[nodiscard]] std::span<const double> drawnSpeeds();

/// A fraction of a second: call it off the window's thread.
[[nodiscard]] ForceCurves computeForceCurves(const ValveInput& valve, const planner::StackSpec& target,
                                             const std::optional<planner::StackSpec>& substitute,
                                             const BenchReadings& readings = {});

/// Index of the target's point nearest to a speed; none where there is no point.
[[nodiscard]] std::optional<std::size_t> nearestSpeed(const ForceCurves& curves, double speed_m_s);
/// The speed at which the target stands open by a lift: of the first point that reaches it, or of the last
/// one.
[[nodiscard]] double speedAtLift(const ForceCurves& curves, double lift_mm);

/// Values at a point as one sentence: the ratio with its band first, then a model's newtons.
[[nodiscard]] QString forceReading(const ForceCurves& curves, std::size_t point,
                                   const QString& substitute_name);
/// What there is to say of the whole: clicks, heat, what was assumed, where the figures end, cautions.
[[nodiscard]] QStringList forceRemarks(const ForceCurves& curves, const ValveInput& valve,
                                       const QString& substitute_name);
[[nodiscard]] QStringList forceCautions();
/// Everything that is drawn, parted by tabs, for a spreadsheet.
[[nodiscard]] QString forceTable(const ForceCurves& curves, const QString& substitute_name);

} // namespace shimledger::desk
