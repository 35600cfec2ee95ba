// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/units/length.h"

#include <cstdint>
#include <optional>
#include <string>

namespace shimledger::inventory {

enum class PartKind { shim, bushing, oilSeal, dustSeal, oRing, snapRing, washer, fluid, other };

/// What a quantity of the part counts: pieces, millimetres of length, or millilitres. Always whole.
enum class QuantityUnit { piece, millimetre, millilitre };

enum class Condition { fresh, used }; ///< written `new` and `used`

/// One catalogue entry. Which sizes a kind must have is said once, in part_kinds.h.
struct Part {
    std::string code; ///< unique, 1 to 100 bytes, no control characters, no blank at either end
    PartKind kind = PartKind::other;
    std::string description;
    std::optional<Length> od;        ///< outer diameter
    std::optional<Length> id;        ///< inner diameter
    std::optional<Length> thickness; ///< nominal
    std::optional<Length> section;   ///< cross-section of an O-ring (d2)
    std::optional<Length> length;    ///< length of a bushing, height of a seal
    std::string size_code;           ///< of an O-ring, e.g. an AS568 dash number
    std::string material;            ///< steel of a shim, compound of an O-ring
    std::string hardness;
    std::string coating;
    QuantityUnit unit = QuantityUnit::piece;
    std::string part_class;                    ///< the shop's own class for reorder settings; may be empty
    std::optional<std::int64_t> reorder_point; ///< 0 or more; none: not reordered by the program
    std::optional<int> shelf_life_months;      ///< 1 or more
    std::string note;
    bool retired = false; ///< nothing new of it comes in; what history refers to is never deleted

    bool operator==(const Part&) const = default;
};

} // namespace shimledger::inventory
