// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/stack/material.h"
#include "planner/units/length.h"

#include <optional>
#include <string>
#include <vector>

namespace shimledger::planner {

/// Where a stack sits: all discs are clamped at clamp_od; pressure acts on the face disc between the
/// port diameters; an optional seat, raised by `preload` above the clamp plane, holds the face disc up.
struct ValveGeometry {
    Length clamp_od;
    Length port_inner_diameter;
    Length port_outer_diameter;
    Length shim_id;                      ///< bore of the discs = shaft diameter
    std::optional<Length> seat_diameter; ///< none: the face disc is carried by the clamp alone
    Length preload;                      ///< height of the seat above the clamp plane, >= 0

    bool operator==(const ValveGeometry&) const = default;
};

/// `count` equal discs that lie together. A ring has a bore larger than the clamp and is held by
/// contact alone; every other disc reaches the clamp.
struct DiscRow {
    int count = 1;
    Length od;
    Length thickness;
    std::optional<Length> ring_id; ///< only for rings
    Material material;

    bool operator==(const DiscRow&) const = default;
};

/// A stack that can exist: rows from the piston face to the clamp, checked when built.
///
/// Example: StackSpec({10_mm, 13_mm, 20_mm, 6_mm, {}, 0_mm}, {{5, 24_mm, 0.10_mm}, {1, 14_mm, 0.10_mm}});
class StackSpec {
public:
    /// Throws InputError naming the row and the rule: OD not below the clamp; thickness 0.01..10 mm;
    /// count 1..500; the face disc reaches the clamp and covers the ports; seat between clamp and face OD;
    /// etc.
    StackSpec(ValveGeometry valve, std::vector<DiscRow> rows);

    [[nodiscard]] const ValveGeometry& valve() const { return m_valve; }
    [[nodiscard]] const std::vector<DiscRow>& rows() const { return m_rows; }

    [[nodiscard]] Length height() const; ///< clamped height: rings do not count
    [[nodiscard]] int discCount() const;

    bool operator==(const StackSpec&) const = default;

private:
    ValveGeometry m_valve;
    std::vector<DiscRow> m_rows;
};

/// True where the row's bore is larger than the clamp, so that only contact holds it.
[[nodiscard]] bool isRing(const ValveGeometry& valve, const DiscRow& row);

} // namespace shimledger::planner
