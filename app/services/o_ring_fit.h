// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/standard_o_rings.h"
#include "inventory/shop_file.h"
#include "planner/units/length.h"

#include <optional>
#include <string>
#include <vector>

namespace shimledger::services {

/// Which surface the groove is cut into.
enum class GrooveKind {
    piston, ///< in the inner part: the ring sits on the groove's bottom and seals against the bore
    rod     ///< in the housing: the ring sits in the bore's groove and seals against the rod
};

struct Groove {
    GrooveKind kind = GrooveKind::piston;
    Length diameter; ///< of the bore (piston) or of the rod
    Length depth;    ///< from the groove's bottom to the surface that is sealed, clearance included
    Length width;
    bool moving = false;
    Length depth_tolerance{};    ///< +-
    Length diameter_tolerance{}; ///< +-
};

/// One figure in per cent: at the tolerances' ends and at nominal, and what it is held against.
struct FitFigure {
    double least = 0, nominal = 0, greatest = 0;
    double allowed_least = 0, allowed_greatest = 0; ///< over the whole range of tolerances
    std::optional<double> nominal_greatest{};       ///< where the nominal figure has a limit of its own
    bool good = false;
    std::string rule; ///< where the allowed range comes from, in words
    /// How far it lies beyond what is allowed, in parts of the allowed range; 0 where it is good.
    [[nodiscard]] double miss() const;
};

struct ORingFit {
    StandardORing ring;
    FitFigure stretch;   ///< of the inner diameter
    FitFigure squeeze;   ///< of the section, thinned by the stretch
    FitFigure fill;      ///< of the groove's cross-section, by the thinned section
    bool judged = false; ///< false: no rule covers a section like that; nothing is promised
    [[nodiscard]] bool fits() const { return judged && stretch.good && squeeze.good && fill.good; }
    [[nodiscard]] double miss() const; ///< of all three together; 0 where it fits
    std::string verdict;               ///< one sentence
};

/// stretch s = groove bottom diameter / d1 - 1 (piston) or rod diameter / d1 - 1 (rod);
/// thinned section d = d2 / sqrt(1 + s), as stretched rubber keeps its volume; a loose ring is not thickened;
/// squeeze = (d - depth) / d; fill = (pi / 4) d^2 / (depth width). Each is judged by its least and greatest
/// value over all tolerances of ring and groove taken together. Rules: o_ring_gland_rules.csv; limits of
/// stretch and fill beside their constants in o_ring_fit.cpp. Throws InputError: a size of 0 or less, a
/// groove deeper than the part.
[[nodiscard]] ORingFit judgeORing(const StandardORing& ring, const Groove& groove);

struct ORingChoice {
    ORingFit fit;
    std::string part; ///< catalogue code of a new one on hand; empty: the shop has none
    std::int64_t available = 0;
};
struct ORingAnswer {
    std::optional<ORingFit> wanted;   ///< the ring that was asked about
    std::vector<ORingChoice> choices; ///< that fit: those in stock first, then the nearest to the wanted one
    std::optional<ORingFit> nearest_miss; ///< where none fits: the one that misses by least
    std::string verdict;                  ///< one sentence, or a plain no and by what the nearest misses
    std::string caution;                  ///< on compound, fluid and temperature
};

/// Rings that fit the groove. `wanted_code` ("210", "P18") may be empty: then the least stretched come first.
[[nodiscard]] ORingAnswer ringsForGroove(inventory::ShopFile& shop, const Groove& groove,
                                         const std::string& wanted_code, std::size_t most = 5);

} // namespace shimledger::services
