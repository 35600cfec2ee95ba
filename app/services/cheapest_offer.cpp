#include "app/services/cheapest_offer.h"

#include <algorithm>
#include <map>
#include <tuple>

namespace shimledger::services {

namespace {

const inventory::Supplier* supplierOf(const inventory::SupplierPart& offer,
                                      const std::vector<inventory::Supplier>& suppliers) {
    const auto found = std::find_if(suppliers.begin(), suppliers.end(),
                                    [&](const inventory::Supplier& s) { return s.name == offer.supplier; });
    return found == suppliers.end() ? nullptr : &*found;
}

} // namespace

std::optional<OfferChoice> cheapestOffer(const std::vector<inventory::SupplierPart>& offers,
                                         const std::vector<inventory::Supplier>& suppliers,
                                         std::int64_t wanted) {
    std::map<std::string, int> currencies;
    for (const auto& offer : offers) {
        if (const auto* supplier = supplierOf(offer, suppliers)) ++currencies[supplier->currency];
    }
    if (currencies.empty()) return std::nullopt;
    const std::string currency =
        std::max_element(currencies.begin(), currencies.end(), [](const auto& a, const auto& b) {
            return a.second < b.second;
        })->first;

    std::optional<OfferChoice> best;
    const auto rank = [&](const OfferChoice& choice) {
        return std::tuple(choice.total, -choice.packs * choice.offer.pack_size,
                          supplierOf(choice.offer, suppliers)->lead_time_days, choice.offer.supplier);
    };
    for (const auto& offer : offers) {
        const auto* supplier = supplierOf(offer, suppliers);
        if (supplier == nullptr || supplier->currency != currency) continue;
        const std::int64_t packs = (wanted + offer.pack_size - 1) / offer.pack_size;
        const OfferChoice choice{offer, packs, packs * offer.pack_price, currencies.size() > 1};
        if (!best || rank(choice) < rank(*best)) best = choice;
    }
    return best;
}

} // namespace shimledger::services
