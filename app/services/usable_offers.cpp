// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/usable_offers.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <tuple>

namespace shimledger::services {

namespace {

/// What is wrong with an offer; empty where nothing is.
std::string problemOf(const inventory::SupplierPart& offer,
                      const std::map<std::string, inventory::Supplier>& suppliers) {
    const auto supplier = suppliers.find(offer.supplier);
    if (supplier == suppliers.end())
        return "is offered by " + offer.supplier + ", which is no supplier of the shop";
    const std::string from = "from " + offer.supplier + " ";
    if (offer.pack_size < 1)
        return from + "has packs of " + std::to_string(offer.pack_size) + ": a pack must hold 1 or more";
    if (offer.pack_price <= 0)
        return from + "has no price: its pack of " + std::to_string(offer.pack_size) + " was left out";
    if (supplier->second.lead_time_days < 0 || supplier->second.lead_time_spread_days.value_or(0) < 0) {
        return from + "has a lead time below 0 days: its offers were left out";
    }
    std::int64_t packs = 1;
    inventory::Hundredths price = offer.pack_price;
    for (const auto& step : offer.breaks) {
        if (step.from_packs <= packs || step.pack_price <= 0 || step.pack_price > price) {
            return from + "has price breaks that do not come down step by step: its offer was left out";
        }
        packs = step.from_packs;
        price = step.pack_price;
    }
    return {};
}

} // namespace

OfferBook offerBook(const std::vector<inventory::Supplier>& suppliers,
                    const std::vector<inventory::SupplierPart>& offers) {
    OfferBook book;
    for (const inventory::Supplier& supplier : suppliers) book.suppliers.emplace(supplier.name, supplier);
    for (const inventory::SupplierPart& offer : offers) book.offers[offer.part].push_back(offer);
    return book;
}

UsableOffers usableOffers(const std::string& part, const std::vector<inventory::SupplierPart>& offers,
                          const std::map<std::string, inventory::Supplier>& suppliers) {
    UsableOffers usable;
    std::map<std::string, int> currencies;
    for (const auto& offer : offers) {
        const std::string problem = problemOf(offer, suppliers);
        if (problem.empty()) {
            usable.offers.push_back(offer);
            ++currencies[suppliers.at(offer.supplier).currency];
        } else {
            usable.notes.push_back(fmt::format("{} {}", part, problem));
        }
    }
    if (currencies.empty()) return usable;
    usable.currency =
        std::max_element(currencies.begin(), currencies.end(), [](const auto& a, const auto& b) {
            return a.second < b.second;
        })->first;
    if (currencies.size() > 1) {
        usable.notes.push_back(part +
                               " is offered in several currencies, which were not compared: only offers in " +
                               usable.currency + " count");
        const auto other = [&](const inventory::SupplierPart& offer) {
            return suppliers.at(offer.supplier).currency != usable.currency;
        };
        usable.offers.erase(std::remove_if(usable.offers.begin(), usable.offers.end(), other),
                            usable.offers.end());
    }
    return usable;
}

const inventory::SupplierPart& usualOffer(const std::vector<inventory::SupplierPart>& offers,
                                          const std::map<std::string, inventory::Supplier>& suppliers) {
    const auto rank = [&](const inventory::SupplierPart& offer) {
        return std::tuple(static_cast<double>(offer.pack_price) / static_cast<double>(offer.pack_size),
                          suppliers.at(offer.supplier).lead_time_days, offer.supplier);
    };
    return *std::min_element(offers.begin(), offers.end(),
                             [&](const auto& a, const auto& b) { return rank(a) < rank(b); });
}

int nearestDays(const std::vector<inventory::SupplierPart>& offers,
                const std::map<std::string, inventory::Supplier>& suppliers) {
    int days = suppliers.at(offers.front().supplier).lead_time_days;
    for (const auto& offer : offers) days = std::min(days, suppliers.at(offer.supplier).lead_time_days);
    return days;
}

} // namespace shimledger::services
