// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/damping/damping_valve.h"
#include "planner/damping/flow_variation.h"
#include "planner/damping/stack_opening.h"
#include "planner/stack/stack_spec.h"
#include "planner/stack/valve_flow.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace shimledger::planner {

/// A stack in the valve it works in.
struct DampedStack {
    StackSpec stack;
    ValveFlow flow;
};

/// One damped stack over shaft speed. Forces are a model's: `force_band_n` says what the published ranges of
/// discharge and of the oil's grade alone leave at its temperature.
struct DampingStudy {
    StackOpening opening;             ///< covers every variation that the band needs, where it is complete
    std::vector<DampingPoint> points; ///< at as many of the speeds as were reached
    std::vector<FigureRange> force_band_n; ///< by point; none where some variation was not reached
    /// By point: what friction between the discs makes of the force with the usual coefficient, while the
    /// speed falls and while it rises; as many as were reached.
    std::vector<FigureRange> friction_band_n;
    /// Forces (N) at told_temperatures_c, one row each, as many as were reached.
    std::vector<std::vector<double>> forces_by_temperature;
    /// With a backing pressure: from here on the drop is more, and the chamber behind runs empty.
    std::optional<double> cavitation_speed_m_s;
    std::vector<std::string> warnings; ///< sentences
};

/// Throws std::logic_error where the speeds are not above 0 and ascending, or none.
[[nodiscard]] DampingStudy studyDamping(const DampedStack& damped, std::span<const double> speeds_m_s);

/// A stack against another, which comes first in what a screen says of the two.
struct RatioPoint {
    double speed_m_s = 0;
    double force_ratio = 1; ///< this stack's force over the other's
    FigureRange band; ///< of the ratio, over all that a shop cannot measure: discharges, oil, temperature
    /// Pressure at the other's lift at this speed, this stack's over the other's; none where this stack was
    /// not followed so far.
    std::optional<double> stack_ratio;
};

struct ClickMatch {
    double speed_m_s = 0;
    int other_click = 0; ///< where the other stack's adjuster stands
    int click = 0;       ///< of this stack, that comes closest to the other's force
    double ratio_at_same_click = 1;
    double ratio = 1;         ///< with that click
    double one_click_out = 1; ///< what one more click out does to this stack's force; 1 at the end
    bool at_end = false;      ///< the closest is the adjuster's last place: it may reach no further
};

struct DampingComparison {
    std::vector<RatioPoint> points;
    std::vector<std::vector<double>> ratios_by_temperature; ///< at told_temperatures_c, one row each
    std::optional<ClickMatch> clicks;                       ///< where this stack's valve has an adjuster
};

/// Both studied over the same speeds. Where the two flows differ the ratio is of both, stack and valve; the
/// same discharges, oils' parts and temperatures are then put into both.
[[nodiscard]] DampingComparison compareDamping(const DampedStack& damped, const DampingStudy& study,
                                               const DampedStack& other, const DampingStudy& of_other);

/// The clicks of such a comparison alone, at 0.1 m/s, both stacks in the valve of `damped`: a few
/// milliseconds. None where the valve has no adjuster or a stack does not let that speed pass.
[[nodiscard]] std::optional<ClickMatch> matchClicks(const DampedStack& damped, const StackSpec& other);

} // namespace shimledger::planner
