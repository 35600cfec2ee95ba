// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/typed_length.h"
#include "inventory/part.h"
#include "inventory/shop_file.h"

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// What somebody measured: sizes in mm in the order in which the kind is spoken (shim OD x ID x thickness,
/// O-ring ID x section, seal and bushing ID x OD x height), and the kind where a word of it was typed.
struct MeasuredPart {
    std::vector<Length> sizes;              ///< 1 to 3
    std::vector<inventory::PartKind> kinds; ///< empty: any
};

/// Reads "23.9 x 6 x 0.148", "18.6x3.5 oring", "oil seal 48 59 11". Throws InputError: no size, more than
/// three, a size that is 0 or less, a word that names no kind of part.
[[nodiscard]] MeasuredPart parseMeasured(std::string_view text, SizeUnit bare = SizeUnit::millimetres);

/// One size of a match against what was measured.
struct SizeDifference {
    std::string noun; ///< "thickness"
    Length nominal;
    Length measured;
    double tolerances =
        0; ///< |measured - nominal| in units of what that size may be off by; above 1: it is another size

    [[nodiscard]] Length difference() const { return measured - nominal; }
};

struct PartMatch {
    std::string part; ///< catalogue code; empty: only in a list of standard sizes
    inventory::PartKind kind = inventory::PartKind::shim;
    std::string what;      ///< "shim 24.0 x 6.0 x 0.15", "O-ring 18.64 x 3.53"
    std::string size_text; ///< of it without the kind; empty where it has no sizes to name
    std::string standard;  ///< "ISO 3601-1 code 210" where the sizes are of a standard
    std::vector<SizeDifference> sizes;
    double distance = 0;           ///< root of the mean square of `tolerances`: 0 is exact
    bool within_tolerance = false; ///< every size is
    bool tied = false;             ///< as likely as the match before or behind it: measure again
    std::int64_t available = 0;
    std::string bins; ///< "A01, F13"

    [[nodiscard]] std::string
    differenceText() const; ///< "outer diameter 0.10 mm under, thickness 0.002 mm over"; "exact"
};

struct PartSearch {
    MeasuredPart measured;
    std::vector<PartMatch> matches; ///< the nearest first
    std::string
        verdict; ///< one sentence: what it is, that two are equally likely, or that nothing has that size
};

/// The nearest catalogue parts and standard O-rings. A disc's thickness may be off by the widest strip
/// tolerance (EN ISO 9445-1, `normal`) and 2 um of the micrometer; an O-ring by its standard's tolerance and
/// 0.1 mm of a caliper on rubber; every other size by 0.15 mm of a caliper (common practice, no source). Two
/// matches are tied when their distances differ by less than the measuring can tell.
[[nodiscard]] PartSearch findParts(inventory::ShopFile& shop, std::string_view text, std::size_t most = 8,
                                   SizeUnit bare = SizeUnit::millimetres);

} // namespace shimledger::services
