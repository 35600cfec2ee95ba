// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/shared_terms.h"
#include "planner/substitute/substitute_request.h"

#include <cstdint>
#include <map>
#include <optional>
#include <utility>
#include <vector>

namespace shimledger::planner {

/// Discs that can be told apart by the model: one nominal size and one effective thickness, from one or more
/// bins. Several lots of a size that were measured differ; what is left over of them when the legs
/// have been served alike forms mixed kinds of one disc for each leg, of readings as near as can be.
struct DiscKind {
    Length thickness;                 ///< nominal
    double effective_mm = 0;          ///< mean reading where there is one, else nominal
    double effective_cube_mm3 = 0;    ///< mean of the cubes
    std::int64_t per_stack = 0;       ///< how many of them every one of the stacks can have
    std::int64_t per_stack_alone = 0; ///< the same if no other job took any
    std::int64_t unit_cost = 0;       ///< hundredths, 0 = unknown
    bool mixed = false;               ///< leftovers: the legs may get different lots
    std::vector<double> pieces_mm;    ///< mixed: the reading of each piece, one for each leg
    std::vector<std::pair<std::size_t, std::int64_t>> lots; ///< index into the request's stock, pieces usable
};

/// The part of the stock that the rules let a search touch.
class UsableStock {
public:
    /// `used_discs`: only used ones (true) or only new ones (false); none: both.
    UsableStock(const SubstituteRequest& request, std::optional<bool> used_discs,
                const SharedTerms* terms = nullptr);

    [[nodiscard]] std::optional<bool> usedDiscs() const { return m_used_discs; }

    /// Kinds of one outline, thinnest first; empty where the drawers hold none.
    [[nodiscard]] const std::vector<DiscKind>& kinds(Length od, Length id) const;
    /// Pieces of one exact size over all bins.
    [[nodiscard]] std::int64_t pieces(Length od, Length id, Length thickness) const;
    /// Pieces of one outline, all thicknesses.
    [[nodiscard]] std::int64_t pieces(Length od, Length id) const;
    /// ODs held with this bore.
    [[nodiscard]] std::vector<Length> ods(Length id) const;
    /// Every kind of it.
    [[nodiscard]] std::vector<KindName> names() const;
    /// All of it, in walking order within a size: index into the request's stock, and pieces.
    [[nodiscard]] const std::vector<std::pair<std::size_t, std::int64_t>>& lots() const { return m_lots; }

private:
    struct Outline {
        Length od, id;
        auto operator<=>(const Outline&) const = default;
    };
    std::optional<bool> m_used_discs;
    std::map<Outline, std::vector<DiscKind>> m_kinds;
    std::map<Outline, std::map<Length, std::int64_t>> m_pieces;
    std::vector<std::pair<std::size_t, std::int64_t>> m_lots;
};

/// What one stack may be built from under the rules: all discs together, or, unmixed, first the new ones and
/// then the used ones.
[[nodiscard]] std::vector<UsableStock> usableStocks(const SubstituteRequest& request,
                                                    const SharedTerms* terms = nullptr);

} // namespace shimledger::planner
