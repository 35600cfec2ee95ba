#include "app/services/purchase_advice.h"

#include "app/services/usable_offers.h"
#include "inventory/money.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "inventory/supplier.h"
#include "planner/substitute/cheapest_purchase.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace shimledger::services {

namespace {

/// Offers of shims, as the shop has them and as the planner sees them; the two lists go together.
struct ShimOffers {
    std::vector<inventory::SupplierPart> offers;
    std::vector<planner::PackOffer> packs;
    std::map<std::string, inventory::Part> parts;
    std::string currency;
};

ShimOffers shimOffers(inventory::ShopFile& shop) {
    ShimOffers found;
    const inventory::SupplierList list(shop);
    OfferBook book = offerBook(list.list(), list.offers());
    std::map<std::string, std::vector<inventory::SupplierPart>> by_currency;
    for (const inventory::Part& part : inventory::PartCatalogue(shop).listKind(inventory::PartKind::shim)) {
        if (!part.od || !part.id || !part.thickness) continue;
        const UsableOffers usable = usableOffers(part.code, book.offers[part.code], book.suppliers);
        auto& offers = by_currency[usable.currency];
        offers.insert(offers.end(), usable.offers.begin(), usable.offers.end());
        found.parts.emplace(part.code, part);
    }
    const auto most =
        std::max_element(by_currency.begin(), by_currency.end(),
                         [](const auto& a, const auto& b) { return a.second.size() < b.second.size(); });
    if (most == by_currency.end()) return found;
    found.currency = most->first;
    found.offers = most->second;
    for (const auto& offer : found.offers) {
        const inventory::Part& part = found.parts.at(offer.part);
        found.packs.push_back(
            {part.code, *part.od, *part.id, *part.thickness, offer.pack_size, offer.pack_price});
    }
    return found;
}

} // namespace

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
    std::string what;
    for (const planner::Purchase::Line& line : purchase->lines) {
        const inventory::SupplierPart& offer = known.offers[line.offer];
        const std::int64_t pieces = line.packs * offer.pack_size;
        if (!what.empty()) what += "; ";
        what +=
            fmt::format("{} x {}, {} of {} from {}", pieces, inventory::partText(known.parts.at(offer.part)),
                        line.packs == 1 ? "a pack" : fmt::format("{} packs", line.packs), offer.pack_size,
                        offer.supplier);
        advice.pieces.push_back({offer.part, pieces, "to make " + job + " possible", false});
    }
    advice.sentence = fmt::format("{} would make it possible, for {} {} without freight: {}.",
                                  purchase->proved ? "The cheapest purchase that" : "A purchase that",
                                  inventory::moneyText(purchase->cost), known.currency, what);
    return advice;
}

} // namespace shimledger::services
