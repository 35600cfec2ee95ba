// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/purchase_advice.h"
#include "app/services/warp_check.h"
#include "inventory/shop_file.h"
#include "planner/substitute/substitute_request.h"
#include "planner/substitute/substitute_result.h"
#include "planner/substitute/wish_limits.h"

#include <string>
#include <vector>

namespace shimledger::services {

/// A deviation from a wanted curve that is near enough: what would bring it nearer need not be told.
inline constexpr double near_a_wish = 0.05;

/// What helps where the drawers give nothing near a wanted curve.
struct WishAdvice {
    double within = 0;                      ///< what was asked for
    std::vector<planner::WishLimit> limits; ///< the one that would help most first
    PurchaseAdvice purchase;                ///< nothing without a shop
    std::string sentence;                   ///< all of it; empty: there is nothing to advise
};

/// Where the nearest stack of the answer deviates by more than `within`: what limits it. Empty where no other
/// curve than the target's is wanted, where it is near enough and where nothing was found at all. Takes up to
/// the request's seconds.
[[nodiscard]] WishAdvice wishAdvice(const planner::SubstituteRequest& request,
                                    const planner::SubstituteResult& result, const ComparedRange& range,
                                    double within);

/// The same for a job, with the cheapest few packs among the suppliers' offers that bring a stack as near as
/// that; up to twice the seconds.
[[nodiscard]] WishAdvice wishAdvice(inventory::ShopFile& shop, const std::string& job,
                                    const planner::SubstituteRequest& request,
                                    const planner::SubstituteResult& result, const ComparedRange& range,
                                    double within);

} // namespace shimledger::services
