// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/known_names.h"
#include "app/command/master_fields_typed.h"
#include "app/command/verb_support.h"

#include "inventory/supplier.h"

#include <fmt/format.h>

#include <algorithm>

namespace shimledger::command {

namespace {

using inventory::PriceBreak;
using inventory::SupplierPart;

/// All breaks anew, rising; "none" alone takes them away.
std::vector<PriceBreak> parseBreaks(const std::vector<std::string>& typed) {
    if (typed.size() == 1 && typed.front() == "none") return {};
    std::vector<PriceBreak> breaks;
    breaks.reserve(typed.size());
    for (const std::string& text : typed) {
        try {
            breaks.push_back(inventory::parsePriceBreak(text));
        } catch (const InputError& problem) {
            throw InputError(std::string("--break: ") + problem.what());
        }
    }
    std::sort(breaks.begin(), breaks.end(),
              [](const PriceBreak& a, const PriceBreak& b) { return a.from_packs < b.from_packs; });
    return breaks;
}

bool isTyped(const MasterVerb& verb, const char* field) {
    const auto typed = verb.values.find(field);
    return typed != verb.values.end() && !typed->second.empty();
}

/// A new price is of today where nobody says of which day.
void datePrice(SupplierPart& offer, const MasterVerb& verb, const inventory::ShopFile& shop) {
    if ((isTyped(verb, "pack_price") || !verb.breaks.empty()) && !isTyped(verb, "priced_on"))
        offer.priced_on = shop.now().date();
}

std::string breaksText(const SupplierPart& offer) {
    std::string text;
    for (const PriceBreak& step : offer.breaks)
        text += fmt::format(", {} from {} packs", inventory::moneyText(step.pack_price), step.from_packs);
    return text;
}

nlohmann::json offerJson(const SupplierPart& offer) {
    nlohmann::json object{{"supplier", offer.supplier}, {"part", offer.part}, {"pack_size", offer.pack_size}};
    addFields(object, offer);
    object["breaks"] = nlohmann::json::array();
    for (const PriceBreak& step : offer.breaks) {
        object["breaks"].push_back(
            {{"from_packs", step.from_packs}, {"pack_price", inventory::moneyText(step.pack_price)}});
    }
    return object;
}

void mustBeKnown(inventory::ShopFile& shop, const MasterVerb& verb) {
    mustBeSupplier(shop, verb.supplier);
    mustBePart(shop, verb.part);
    if (verb.pack_size && (*verb.pack_size < 1 || *verb.pack_size > 1'000'000))
        throw InputError("--pack-size: a pack of " + std::to_string(*verb.pack_size) +
                         " cannot be: give 1 to 1000000");
}

} // namespace

int runOfferAdd(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeKnown(shop, verb);
    SupplierPart offer;
    offer.supplier = verb.supplier;
    offer.part = verb.part;
    offer.pack_size = verb.pack_size.value_or(1);
    takeValues(offer, verb);
    offer.breaks = parseBreaks(verb.breaks);
    datePrice(offer, verb, shop);
    inventory::SupplierList(shop).addOffer(offer);
    streams.out << fmt::format("{} offers {} in packs of {}, {} a pack{}.\n", offer.supplier, offer.part,
                               offer.pack_size, inventory::moneyText(offer.pack_price), breaksText(offer));
    return exit_done;
}

int runOfferChange(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeKnown(shop, verb);
    std::vector<inventory::MasterChange> changes;
    shop.atomically([&] {
        inventory::SupplierList suppliers(shop);
        const SupplierPart before = suppliers.getOffer(verb.supplier, verb.part, verb.pack_size.value_or(1));
        SupplierPart offer = before;
        const bool any = takeValues(offer, verb);
        if (!any && verb.breaks.empty()) throw nothingTyped<SupplierPart>(", --break");
        if (!verb.breaks.empty()) offer.breaks = parseBreaks(verb.breaks);
        if (offer.pack_price != before.pack_price || offer.breaks != before.breaks)
            datePrice(offer, verb, shop);
        changes = suppliers.updateOffer(offer);
    });
    tellChanges(changes, streams.out);
    return exit_done;
}

int runOfferRetire(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeKnown(shop, verb);
    tellChanges(
        {inventory::SupplierList(shop).retireOffer(verb.supplier, verb.part, verb.pack_size.value_or(1))},
        streams.out);
    return exit_done;
}

int runOfferBringBack(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeKnown(shop, verb);
    tellChanges(
        {inventory::SupplierList(shop).bringOfferBack(verb.supplier, verb.part, verb.pack_size.value_or(1))},
        streams.out);
    return exit_done;
}

int runOfferList(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeKnown(shop, verb);
    const inventory::SupplierList suppliers(shop);
    const auto retired = verb.retired ? inventory::Retired::included : inventory::Retired::leftOut;
    auto offers = verb.part.empty() ? suppliers.offers(retired) : suppliers.offersOfPart(verb.part, retired);
    std::erase_if(offers, [&](const SupplierPart& offer) {
        return !verb.supplier.empty() && offer.supplier != verb.supplier;
    });
    if (verb.json) {
        nlohmann::json root = nlohmann::json::array();
        for (const SupplierPart& offer : offers) root.push_back(offerJson(offer));
        streams.out << root.dump(2) << '\n';
        return exit_done;
    }
    for (const SupplierPart& offer : offers) {
        streams.out << fmt::format("{:<36} {:<24} pack of {:>4}: {}{}{}{}\n", offer.supplier, offer.part,
                                   offer.pack_size, inventory::moneyText(offer.pack_price), breaksText(offer),
                                   offer.priced_on ? ", of " + offer.priced_on->text() : std::string(),
                                   offer.retired ? ", retired" : "");
    }
    if (offers.empty()) streams.out << "There are none.\n";
    return exit_done;
}

} // namespace shimledger::command
