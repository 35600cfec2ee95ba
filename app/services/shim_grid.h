// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/typed_length.h"
#include "inventory/part.h"
#include "inventory/shop_file.h"
#include "planner/units/length.h"

#include <cstdint>
#include <map>
#include <string>
#include <utility>
#include <vector>

namespace shimledger::services {

/// Shims of one bore as a grid, outer diameters down and thicknesses across.
struct ShimSize {
    Length od, thickness;
    auto operator<=>(const ShimSize&) const = default;
};

/// What the drawers have of one size, in one condition.
struct ShimGridStock {
    std::int64_t on_hand = 0;
    std::vector<std::string> bins; ///< in walking order; empty: it lies nowhere
};

struct ShimGrid {
    std::vector<Length> ods, thicknesses; ///< of all parts of that bore, ascending
    std::map<ShimSize, ShimGridStock> stock;
};

/// The shop's shims of that bore, in this condition.
[[nodiscard]] ShimGrid shimGrid(inventory::ShopFile& shop, Length bore, inventory::Condition condition);
/// The bores of the shop's shims, the one with most sizes first.
[[nodiscard]] std::vector<Length> shimBores(inventory::ShopFile& shop);

/// Counts typed into the grid.
struct ShimGridCounts {
    Length bore;
    inventory::Condition condition = inventory::Condition::fresh;
    std::string cabinet;      ///< of drawers that are made
    std::string first_bin;    ///< where sizes go that lie nowhere yet
    bool one_bin_each = true; ///< each in a drawer of its own, from `first_bin` on: A01, A02, ...
    std::map<ShimSize, std::int64_t> counts;
};

/// Which drawer each counted size goes into: where it lies already, else by the rule. A size that lies in
/// several drawers cannot be counted as one number. Throws InputError, which says what would be right.
[[nodiscard]] std::map<ShimSize, std::string> binsOfCounts(inventory::ShopFile& shop,
                                                           const ShimGridCounts& counts);

struct ShimGridBooked {
    int sizes = 0, new_parts = 0, new_bins = 0;
};
/// Posts a count of each size. Parts and drawers that the shop lacks are made; all of it or nothing. Throws
/// InputError.
ShimGridBooked countShimGrid(inventory::ShopFile& shop, const ShimGridCounts& counts);

/// The lengths of one side of the grid as a person writes them: "24 22 20", "0,10; 0,15", "8..30" (in steps
/// of `step`), "10..30/2", "10..30 mm". Ascending, none twice. Throws InputError, also for "24,26", which may
/// be one size or two.
[[nodiscard]] std::vector<Length> readLengths(const std::string& text, Length step,
                                              SizeUnit bare = SizeUnit::millimetres);

} // namespace shimledger::services
