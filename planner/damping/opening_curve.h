// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

namespace shimledger::planner {

/// How far a stack stands open at a pressure beneath its face disc.
struct Opening {
    double gap_mm = 0;  ///< that the oil leaves through, at the metering radius
    double lift_mm = 0; ///< of the face disc's rim, past the onset of warping its mean
};

struct OpeningKnot {
    double pressure_mpa = 0;
    Opening opening;
    Opening slope; ///< d/d pressure, mm/MPa
    /// What friction between the discs adds to the pressure at this opening while it rises, as a part of it
    /// and for a coefficient of 1: see disc_friction.h.
    double friction_part = 0;
};

/// Opening over pressure through computed points, from none at no pressure: cubics that do not fall
/// (F. N. Fritsch, R. E. Carlson, SIAM J. Numer. Anal. 17 (1980) 238). Past the last point it does not exist.
class OpeningCurve {
public:
    /// `knots` ascend in pressure, above 0, and their gaps do not fall: std::logic_error where they do. The
    /// gap is closed up to the last knot that has none.
    OpeningCurve(double metering_radius_mm, std::vector<OpeningKnot> knots);

    /// The same while the pressure rises, with this coefficient of friction between the discs; a negative
    /// one: while it falls.
    [[nodiscard]] OpeningCurve withFriction(double coefficient) const;

    [[nodiscard]] Opening at(double pressure_mpa) const; ///< 0 to greatestPressure()
    /// The least pressure with this lift (0 or more); none past the last point.
    [[nodiscard]] std::optional<double> pressureAtLift(double lift_mm) const;
    [[nodiscard]] double greatestPressure() const { return m_knots.back().pressure_mpa; }
    [[nodiscard]] double meteringRadius() const { return m_metering_radius_mm; }
    [[nodiscard]] const std::vector<OpeningKnot>& knots() const { return m_knots; } ///< with rest in front

private:
    double m_metering_radius_mm;
    std::vector<OpeningKnot> m_knots;
};

} // namespace shimledger::planner
