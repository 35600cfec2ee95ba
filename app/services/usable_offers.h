// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/supplier.h"

#include <map>
#include <string>
#include <vector>

namespace shimledger::services {

/// Suppliers by name, and what they offer by part.
struct OfferBook {
    std::map<std::string, inventory::Supplier> suppliers;
    std::map<std::string, std::vector<inventory::SupplierPart>> offers;

    /// Of one part; empty where nobody offers it.
    [[nodiscard]] std::vector<inventory::SupplierPart> of(const std::string& part) const {
        const auto found = offers.find(part);
        return found == offers.end() ? std::vector<inventory::SupplierPart>() : found->second;
    }
};

[[nodiscard]] OfferBook offerBook(const std::vector<inventory::Supplier>& suppliers,
                                  const std::vector<inventory::SupplierPart>& offers);

/// Offers of one part that can be compared: known supplier, pack of 1 or more, a price, a lead time that is
/// no negative one, and all in one currency. Prices in different currencies are never compared: the one in
/// which most offers are made counts, of equals the first by its letters.
struct UsableOffers {
    std::vector<inventory::SupplierPart> offers;
    std::string currency;           ///< empty: none can be used
    std::vector<std::string> notes; ///< what was left out and why, a sentence each
};

[[nodiscard]] UsableOffers usableOffers(const std::string& part,
                                        const std::vector<inventory::SupplierPart>& offers,
                                        const std::map<std::string, inventory::Supplier>& suppliers);

/// The supplier a part usually comes from: cheapest per piece of one pack, then the shorter lead time, then
/// the name. Offers must be usable and not empty.
[[nodiscard]] const inventory::SupplierPart&
usualOffer(const std::vector<inventory::SupplierPart>& offers,
           const std::map<std::string, inventory::Supplier>& suppliers);

/// Lead time of the nearest supplier of these offers, days; offers must be usable and not empty.
[[nodiscard]] int nearestDays(const std::vector<inventory::SupplierPart>& offers,
                              const std::map<std::string, inventory::Supplier>& suppliers);

} // namespace shimledger::services
