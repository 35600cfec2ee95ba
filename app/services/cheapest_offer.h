#pragma once

#include "inventory/supplier.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::services {

/// Offer, number of packs, and what they cost in all.
struct OfferChoice {
    inventory::SupplierPart offer;
    std::int64_t packs = 0;
    inventory::Hundredths total = 0;
    bool other_currencies = false; ///< offers in another currency were left out of the comparison
};

/// The offer whose packs cost least in all for at least `wanted` (1 or more); of equals the one with more in
/// its packs, then the shorter lead time, then the supplier's name. Currencies are never compared: the one in
/// which most of the offers are made counts, of equals the first by its letters. None without an offer.
[[nodiscard]] std::optional<OfferChoice> cheapestOffer(const std::vector<inventory::SupplierPart>& offers,
                                                       const std::vector<inventory::Supplier>& suppliers,
                                                       std::int64_t wanted);

} // namespace shimledger::services
