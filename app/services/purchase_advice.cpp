// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/purchase_advice.h"

#include "app/services/shim_offers.h"
#include "inventory/money.h"
#include "planner/substitute/cheapest_purchase.h"

#include <fmt/format.h>

namespace shimledger::services {

PurchaseAdvice purchaseAdvice(inventory::ShopFile& shop, const std::string& job,
                              const planner::SubstituteRequest& request) {
    ShimOffers known;
    shop.consistently([&] { known = shimOffers(shop); });
    PurchaseAdvice advice;
    const auto purchase = planner::cheapestPurchase(request, known.packs);
    if (!purchase || purchase->lines.empty()) {
        advice.sentence = "No purchase from the suppliers' offers was found that would make it possible.";
        return advice;
    }
    for (const planner::Purchase::Line& line : purchase->lines) {
        const inventory::SupplierPart& offer = known.offers[line.offer];
        advice.pieces.push_back(
            {offer.part, line.packs * offer.pack_size, "to make " + job + " possible", false});
    }
    advice.sentence =
        fmt::format("{} would make it possible, for {} {} without freight: {}.",
                    purchase->proved ? "The cheapest purchase that" : "A purchase that",
                    inventory::moneyText(purchase->cost), known.currency, purchaseText(known, *purchase));
    return advice;
}

} // namespace shimledger::services
