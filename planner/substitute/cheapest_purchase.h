// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/substitute_request.h"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::planner {

/// Discs of one size that can be bought, so many at a time.
struct PackOffer {
    std::string part;
    Length od, id, thickness;
    std::int64_t pack_size = 1;
    std::int64_t pack_price = 0; ///< hundredths, above 0; all offers in one currency
};

/// Packs that together make a stack within the rules possible.
struct Purchase {
    struct Line {
        std::size_t offer = 0; ///< index into the offers
        std::int64_t packs = 0;
    };
    std::vector<Line> lines; ///< by offer; empty: nothing needs to be bought
    std::int64_t cost = 0;
    bool proved = false; ///< nothing cheaper among the offers would do
};

/// The cheapest packs with which the request, otherwise impossible, has an answer. None where the offers
/// cannot do it, or not within `most_tries` looks at what a purchase would allow. Throws nothing of its own;
/// the request must be a good one (request_check.h).
[[nodiscard]] std::optional<Purchase> cheapestPurchase(const SubstituteRequest& request,
                                                       const std::vector<PackOffer>& offers,
                                                       int most_tries = 2000);

/// What would bring a stack within a deviation.
struct NearPurchase {
    std::optional<Purchase> purchase; ///< no lines: nothing needs to be bought
    bool none = false;                ///< proved: not even packs of all offers at once would do
};

/// The cheapest of at most so many packs with which a stack deviates by at most `within` from the curve that
/// the request wants. Searches for each purchase in turn, the cheapest first, as long as the time allows;
/// where that is over, one that will do may still have been seen with all offers at once. The request must be
/// a good one.
[[nodiscard]] NearPurchase cheapestPurchaseWithin(const SubstituteRequest& request,
                                                  const std::vector<PackOffer>& offers, double within,
                                                  int most_packs, double most_seconds);

} // namespace shimledger::planner
