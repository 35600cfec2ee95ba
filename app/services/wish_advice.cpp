// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/wish_advice.h"

#include "app/services/shim_offers.h"
#include "inventory/money.h"
#include "planner/substitute/request_check.h"

#include <fmt/format.h>

#include <set>

namespace shimledger::services {

namespace {

constexpr int most_packs = 3;
constexpr std::size_t most_limits_told = 2; // what helps less is no news

bool farFromWish(const planner::SubstituteRequest& request, const planner::SubstituteResult& result,
                 double within) {
    return within > 0 && !request.rules.wanted.changesNothing() && !result.proposals.empty() &&
           result.proposals.front().deviation.max_deviation > within;
}

std::string limitsText(const std::vector<planner::WishLimit>& limits) {
    if (limits.empty()) return "No OD by itself limits it: more discs of one alone were not found to help.";
    std::string text = "What limits it:";
    for (std::size_t i = 0; i < limits.size() && i < most_limits_told; ++i) {
        const planner::WishLimit& limit = limits[i];
        std::string sizes;
        for (const Length size : limit.sizes) sizes += (sizes.empty() ? "" : " and ") + size.text(2);
        text += fmt::format("{} {} mm OD (row {}), with enough {} within {:.1f} %", i > 0 ? ";" : "",
                            limit.od.text(), limit.row, sizes.empty() ? "discs" : "of " + sizes,
                            100 * limit.deviation);
    }
    return text + '.';
}

/// Over the range that the answer was found in.
planner::SubstituteRequest comparedRequest(const planner::SubstituteRequest& request,
                                           const ComparedRange& range) {
    planner::SubstituteRequest compared = request;
    compared.rules = planner::rulesUpTo(compared.rules, range.compared_lift_mm);
    return compared;
}

WishAdvice limitsOf(const planner::SubstituteRequest& request, const planner::SubstituteResult& result,
                    double within, std::set<Length> thicknesses) {
    WishAdvice advice;
    advice.within = within;
    for (const planner::StockItem& item : request.stock) {
        if (item.id == request.target->valve().shim_id) thicknesses.insert(item.thickness);
    }
    const double now = result.proposals.front().deviation.max_deviation;
    advice.limits =
        planner::wishLimits(request, {thicknesses.begin(), thicknesses.end()}, now, request.limits.seconds);
    advice.sentence = fmt::format("Nothing that was found comes within {:.1f} % of what is wanted. {}",
                                  100 * within, limitsText(advice.limits));
    return advice;
}

PurchaseAdvice purchaseFor(const std::string& job, const planner::SubstituteRequest& request,
                           const ShimOffers& known, double within) {
    PurchaseAdvice advice;
    const planner::NearPurchase found =
        planner::cheapestPurchaseWithin(request, known.packs, within, most_packs, request.limits.seconds);
    if (!found.purchase || found.purchase->lines.empty()) {
        advice.sentence =
            found.none
                ? fmt::format(
                      "No purchase of up to {} packs from the suppliers' offers would bring it there.",
                      most_packs)
                : fmt::format("No purchase of up to {} packs that would bring it there was found in the time "
                              "given.",
                              most_packs);
        return advice;
    }
    for (const planner::Purchase::Line& line : found.purchase->lines) {
        const inventory::SupplierPart& offer = known.offers[line.offer];
        advice.pieces.push_back(
            {offer.part, line.packs * offer.pack_size, "to bring " + job + " near the wanted curve", false});
    }
    advice.sentence = fmt::format("{} would bring it within {:.1f} %, for {} {} without freight: {}.",
                                  found.purchase->proved ? "The cheapest purchase that" : "A purchase that",
                                  100 * within, inventory::moneyText(found.purchase->cost), known.currency,
                                  purchaseText(known, *found.purchase));
    return advice;
}

} // namespace

WishAdvice wishAdvice(const planner::SubstituteRequest& request, const planner::SubstituteResult& result,
                      const ComparedRange& range, double within) {
    if (!farFromWish(request, result, within)) return {};
    return limitsOf(comparedRequest(request, range), result, within, {});
}

WishAdvice wishAdvice(inventory::ShopFile& shop, const std::string& job,
                      const planner::SubstituteRequest& request, const planner::SubstituteResult& result,
                      const ComparedRange& range, double within) {
    if (!farFromWish(request, result, within)) return {};
    ShimOffers known;
    shop.consistently([&] { known = shimOffers(shop); });
    std::set<Length> thicknesses;
    for (const planner::PackOffer& offer : known.packs) {
        if (offer.id == request.target->valve().shim_id) thicknesses.insert(offer.thickness);
    }
    const planner::SubstituteRequest compared = comparedRequest(request, range);
    WishAdvice advice = limitsOf(compared, result, within, std::move(thicknesses));
    advice.purchase = purchaseFor(job, compared, known, within);
    advice.sentence += ' ' + advice.purchase.sentence;
    return advice;
}

} // namespace shimledger::services
