// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/shim_offers.h"

#include "app/services/usable_offers.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdint>

namespace shimledger::services {

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

std::string purchaseText(const ShimOffers& known, const planner::Purchase& purchase) {
    std::string what;
    for (const planner::Purchase::Line& line : purchase.lines) {
        const inventory::SupplierPart& offer = known.offers[line.offer];
        const std::int64_t pieces = line.packs * offer.pack_size;
        if (!what.empty()) what += "; ";
        what +=
            fmt::format("{} x {}, {} of {} from {}", pieces, inventory::partText(known.parts.at(offer.part)),
                        line.packs == 1 ? "a pack" : fmt::format("{} packs", line.packs), offer.pack_size,
                        offer.supplier);
    }
    return what;
}

} // namespace shimledger::services
