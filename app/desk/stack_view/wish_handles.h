// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/wanted_factor.h"

#include <cstddef>
#include <vector>

namespace shimledger::desk {

/// The points of a wish as they are taken hold of on a plot: lifts in hundredths of a millimetre, apart and
/// within the range that is drawn, factors within what can be wished. One of them is picked.
class WishHandles {
public:
    using Points = std::vector<planner::WantedPoint>;

    /// The picked one stays where there are as many; points beyond `end_mm` stay as they are.
    void set(Points points, double end_mm);
    [[nodiscard]] const Points& points() const { return m_points; } ///< none: nothing to take hold of
    [[nodiscard]] std::size_t picked() const { return m_picked; }   ///< 0 where there are none
    void pick(std::size_t point);
    void pickBeside(int by); ///< the next by one, or the one before; stops at the ends

    /// The picked one to that place, as near as it may: neighbours are not passed.
    void moveTo(double lift_mm, double factor);
    /// A new one on the line, which is picked. False where there is no room between its neighbours.
    bool add(double lift_mm);
    bool addBesidePicked(); ///< half-way to the next one, from the last to the one before
    bool remove();          ///< the picked one; the last of all stays

private:
    [[nodiscard]] bool mayStandAt(double lift_mm) const;

    Points m_points;
    double m_end_mm = 0;
    std::size_t m_picked = 0;
};

} // namespace shimledger::desk
