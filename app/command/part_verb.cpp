// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/known_names.h"
#include "app/command/master_fields_typed.h"
#include "app/command/verb_support.h"

#include "app/services/own_data.h"
#include "app/services/standard_o_rings.h"
#include "inventory/component_model.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "inventory/purchase_orders.h"
#include "inventory/stock_snapshot.h"
#include "planner/units/near_name.h"

#include <fmt/format.h>

#include <algorithm>

namespace shimledger::command {

namespace {

using inventory::Part;

/// The sizes of a standard's O-ring, so that nobody types them.
Part standardRing(const MasterVerb& verb) {
    for (const char* field : {"kind", "id_mm", "section_mm", "size_code"}) {
        const auto typed = verb.values.find(field);
        if (typed != verb.values.end() && !typed->second.empty())
            throw InputError("--standard says kind, size and code of the O-ring: leave " + optionOf(field) +
                             " away");
    }
    const auto ring = services::findStandardORing(verb.standard);
    if (!ring) {
        std::vector<std::string> codes;
        for (const services::StandardORing& known : services::standardORings()) codes.push_back(known.code);
        throw InputError("--standard: there is no O-ring '" + verb.standard.substr(0, 40) +
                         "' in ISO 3601-1 or JIS B 2401-1" +
                         nearNameText(verb.standard, codes, "write its code, such as 210 or P18"));
    }
    Part part;
    part.kind = inventory::PartKind::oRing;
    part.id = ring->id;
    part.section = ring->section;
    part.size_code = ring->code;
    return part;
}

/// What lies, comes and is wanted of a part that is retired.
std::vector<std::string> stillThere(inventory::ShopFile& shop, const std::string& code) {
    std::vector<std::string> notes;
    std::int64_t pieces = 0, reserved = 0;
    std::string bins;
    for (const auto& lot : inventory::stockSnapshotOf(shop, {code}).lots) {
        pieces += lot.on_hand;
        reserved += lot.reserved;
        if (!bins.ends_with(lot.bin)) bins += (bins.empty() ? "" : ", ") + lot.bin;
    }
    if (pieces > 0) {
        notes.push_back(fmt::format("{} of it {} still there in {}{}: they can be taken out and counted.",
                                    pieces, pieces == 1 ? "is" : "are", bins,
                                    reserved > 0 ? fmt::format(", {} reserved", reserved) : std::string()));
    }
    const auto expected = inventory::PurchaseOrders(shop).onOrder();
    if (const auto coming = expected.find(code); coming != expected.end()) {
        notes.push_back(fmt::format("{} of it are on order, and cannot be received while it is retired.",
                                    coming->second));
    }
    for (const auto& model : inventory::ComponentModels(shop).list()) {
        const bool listed = std::any_of(model.consumables.begin(), model.consumables.end(),
                                        [&](const auto& one) { return one.part == code; });
        if (listed) notes.push_back("It is still a wear part of model " + model.code + ".");
    }
    return notes;
}

nlohmann::json partJson(const Part& part) {
    nlohmann::json object{{"part", part.code}, {"text", inventory::partText(part)}};
    addFields(object, part);
    return object;
}

} // namespace

int runPartAdd(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    Part part;
    if (!verb.standard.empty()) {
        part = standardRing(verb);
    } else if (const auto kind = verb.values.find("kind");
               kind == verb.values.end() || kind->second.empty()) {
        throw InputError("say what kind of part it is: --kind shim, or --standard 210 for an O-ring");
    }
    takeValues(part, verb);
    const auto unit = verb.values.find("unit");
    if (part.kind == inventory::PartKind::fluid && (unit == verb.values.end() || unit->second.empty()))
        part.unit = inventory::QuantityUnit::millilitre;
    part.code = verb.part;
    std::vector<std::string> alike;
    shop.atomically([&] {
        part.code = services::addPart(shop, part);
        const inventory::PartCatalogue catalogue(shop);
        for (const Part& known : catalogue.listKind(part.kind)) {
            const std::string size = inventory::partSizeText(known);
            if (known.code != part.code && !size.empty() && size == inventory::partSizeText(part) &&
                known.material == part.material)
                alike.push_back(known.code);
        }
    });
    streams.out << "Part " << part.code << " is in the catalogue: " << inventory::partText(part) << ".\n";
    for (const std::string& code : alike)
        streams.error << "Note: part " << code << " has the same size and material.\n";
    return exit_done;
}

int runPartChange(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBePart(shop, verb.part);
    return changeFieldsAndTell<inventory::PartCatalogue>(shop, verb.part, verb, streams);
}

int runPartRetire(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBePart(shop, verb.part);
    tellChanges({inventory::PartCatalogue(shop).retire(verb.part)}, streams.out);
    for (const std::string& note : stillThere(shop, verb.part)) streams.out << "  " << note << '\n';
    return exit_done;
}

int runPartBringBack(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBePart(shop, verb.part);
    tellChanges({inventory::PartCatalogue(shop).bringBack(verb.part)}, streams.out);
    return exit_done;
}

int runPartList(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    const auto retired = verb.retired ? inventory::Retired::included : inventory::Retired::leftOut;
    const inventory::PartCatalogue catalogue(shop);
    std::vector<Part> parts;
    if (const auto kind = verb.values.find("kind"); kind != verb.values.end() && !kind->second.empty()) {
        Part wanted;
        takeValues(wanted, verb); // names the option where the word is none
        parts = catalogue.listKind(wanted.kind, retired);
    } else {
        parts = catalogue.list(retired);
    }
    if (verb.json) {
        nlohmann::json root = nlohmann::json::array();
        for (const Part& part : parts) root.push_back(partJson(part));
        streams.out << root.dump(2) << '\n';
        return exit_done;
    }
    for (const Part& part : parts) {
        std::string more;
        const auto add = [&](const std::string& text) { more += (more.empty() ? "" : ", ") + text; };
        if (!part.material.empty()) add(part.material);
        if (!part.part_class.empty()) add("class " + part.part_class);
        if (part.reorder_point) add(fmt::format("reorder point {}", *part.reorder_point));
        if (part.retired) add("retired");
        streams.out << fmt::format("{:<24} {:<32} {}\n", part.code, inventory::partText(part), more);
    }
    if (parts.empty()) streams.out << "There are none.\n";
    return exit_done;
}

} // namespace shimledger::command
