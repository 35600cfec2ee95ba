// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/stack_lift.h"

#include <QPolygonF>
#include <QRectF>

#include <vector>

namespace shimledger::desk {

/// One disc of a half section, in mm: x is the radius, y the height above the piston-side clamp plane.
struct DiscOutline {
    int row = 0; ///< 0-based, from the piston face
    QPolygonF outline;
};

/// Where two rows touch outside the clamp: the lower one's top meets the upper one's underside.
struct TouchPoint {
    int lower_row = 0;
    int upper_row = 0;
    QPointF at; ///< mm
};

/// A half section ready to be scaled and drawn.
struct SectionGeometry {
    std::vector<DiscOutline> discs; ///< from the piston face to the clamp
    std::vector<TouchPoint> touches;
    double height_mm = 0;       ///< of the clamped stack
    double outer_radius_mm = 0; ///< of the widest disc
    double top_mm = 0;          ///< highest point of all
};

/// Lays the discs out in the order they go together. `shapes` by row, as StackLift gives them; empty for a
/// stack at rest. Discs are drawn from the bore (or the ring's bore) to their outer radius.
[[nodiscard]] SectionGeometry sectionGeometry(const planner::StackSpec& stack,
                                              const std::vector<planner::DiscShape>& shapes);

/// The largest whole number out of a plain series (1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30) by which
/// heights may be multiplied so that `height_mm` still fits.
[[nodiscard]] int heightFactor(double height_mm, double pixels_per_mm, double available_pixels);

} // namespace shimledger::desk
