// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/own_data.h"

#include "app/services/history_text.h"
#include "app/services/kept_recipes.h"
#include "app/services/sheet_import/part_code.h"
#include "app/services/sheet_import/written_number.h"
#include "app/services/standard_o_rings.h"
#include "app/services/typed_length.h"
#include "inventory/bin.h"
#include "inventory/component_model.h"
#include "inventory/master_changes.h"
#include "inventory/model_flow.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "inventory/reorder_class.h"
#include "inventory/supplier.h"
#include "planner/units/input_error.h"

#include <algorithm>
#include <charconv>
#include <map>
#include <optional>
#include <sstream>

namespace shimledger::services {

namespace {

using inventory::Bin;
using inventory::ComponentModel;
using inventory::FieldContent;
using inventory::MasterChange;
using inventory::Part;
using inventory::PartKind;
using inventory::ReorderClass;
using inventory::ShopFile;
using inventory::Supplier;
using inventory::SupplierPart;

/// A field that inventory/master_fields.h does not declare: codes, and what a thing has several of.
template <class Thing>
struct MoreField {
    OwnDataField field;
    std::function<std::string(const Thing&)> text;
    std::function<void(Thing&, const std::string&)> read;
};

std::int64_t wholeOf(const std::string& text, const std::string& what) {
    std::int64_t value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc() || end != text.data() + text.size())
        throw InputError(what + " '" + text + "' is no whole number: write digits only, such as 10");
    return value;
}

std::vector<std::string> linesOf(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) {
        if (!trimmed(line).empty()) lines.push_back(trimmed(line));
    }
    return lines;
}

/// "A = b" in two.
std::pair<std::string, std::string> sidesOf(const std::string& line, const std::string& right) {
    const std::size_t equals = line.find('=');
    if (equals == std::string::npos) throw InputError("'" + line + "' is not of the form " + right);
    return {trimmed(line.substr(0, equals)), trimmed(line.substr(equals + 1))};
}

std::string breaksText(const SupplierPart& offer) {
    std::string text;
    for (const inventory::PriceBreak& step : offer.breaks)
        text += (text.empty() ? "" : "\n") + std::to_string(step.from_packs) + " = " +
                inventory::moneyText(step.pack_price);
    return text;
}

void readBreaks(SupplierPart& offer, const std::string& text) {
    offer.breaks.clear();
    for (std::string line : linesOf(text)) {
        std::erase(line, ' '); // "5 = 3.80" is what breaksText() writes
        if (line.find('.') == std::string::npos) std::replace(line.begin(), line.end(), ',', '.');
        offer.breaks.push_back(inventory::parsePriceBreak(line));
    }
    std::sort(offer.breaks.begin(), offer.breaks.end(),
              [](const auto& a, const auto& b) { return a.from_packs < b.from_packs; });
}

std::string wearPartsText(const ComponentModel& model) {
    std::string text;
    for (const inventory::ModelConsumable& one : model.consumables) {
        text += (text.empty() ? "" : "\n") + one.part + " = " + std::to_string(one.quantity_per_leg);
        if (!one.note.empty()) text += ", " + one.note;
    }
    return text;
}

void readWearParts(ComponentModel& model, const std::string& text) {
    model.consumables.clear();
    for (const std::string& line : linesOf(text)) {
        const auto [part, rest] =
            sidesOf(line, "PART = HOW MANY A LEG, NOTE, such as SEAL-48 = 1, both lips greased");
        const std::size_t comma = rest.find(',');
        inventory::ModelConsumable one;
        one.part = part;
        one.quantity_per_leg =
            wholeOf(trimmed(rest.substr(0, comma)), "how many of " + part + " a leg takes");
        if (comma != std::string::npos) one.note = trimmed(rest.substr(comma + 1));
        model.consumables.push_back(std::move(one));
    }
}

std::string valvesText(const ComponentModel& model, SizeUnit bare) {
    std::string text;
    for (const inventory::JobValve& valve : model.valves) {
        text += (text.empty() ? "" : "\n") + valve.name + " = clamp " + typedForm(valve.clamp_od, bare) +
                ", ports " + typedForm(valve.port_inner_diameter, bare) + " to " +
                typedForm(valve.port_outer_diameter, bare) + ", bore " + typedForm(valve.shim_id, bare);
        if (valve.seat_diameter) text += ", seat " + typedForm(*valve.seat_diameter, bare);
        if (valve.preload) text += ", preload " + typedForm(*valve.preload, bare, 2);
    }
    return text;
}

/// "clamp 10, ports 13 to 20" at its commas; those between two digits are of decimals.
std::vector<std::string> sizesOf(const std::string& text) {
    const auto isDigit = [&](std::size_t i) { return i < text.size() && text[i] >= '0' && text[i] <= '9'; };
    std::vector<std::string> parts(1);
    for (std::size_t i = 0; i < text.size(); ++i) {
        const bool parts_here =
            text[i] == ';' || (text[i] == ',' && !(i > 0 && isDigit(i - 1) && isDigit(i + 1)));
        if (parts_here)
            parts.emplace_back();
        else
            parts.back() += text[i];
    }
    return parts;
}

/// Reads what valvesText() writes.
inventory::JobValve valveOf(const std::string& line, SizeUnit bare) {
    static const std::string right =
        "NAME = clamp 10, ports 13 to 20, bore 6, seat 20.5, preload 0.10 (seat and preload only "
        "where the seat is raised)";
    const auto sides = sidesOf(line, right);
    const std::string& name = sides.first;
    const std::string& sizes = sides.second;
    inventory::JobValve valve;
    valve.name = name;
    std::optional<Length> clamp, inner, outer, bore;
    for (const std::string& part : sizesOf(sizes)) {
        std::vector<std::string> words;
        for (SizeWord& word : sizeWords(part)) words.push_back(std::move(word.text));
        const std::string what = words.empty() ? std::string() : words[0];
        const auto length = [&](const std::string& text) {
            try {
                return typedLength(text, bare).length;
            } catch (const InputError& error) {
                throw InputError("valve " + name + ", " + what + ": " + error.what());
            }
        };
        const bool one = words.size() == 2;
        if (what == "clamp" && one)
            clamp = length(words[1]);
        else if (what == "bore" && one)
            bore = length(words[1]);
        else if (what == "seat" && one)
            valve.seat_diameter = length(words[1]);
        else if (what == "preload" && one)
            valve.preload = length(words[1]);
        else if (what == "ports" && words.size() == 4 && words[2] == "to") {
            inner = length(words[1]);
            outer = length(words[3]);
        } else
            throw InputError("valve " + name + ": '" + trimmed(part) + "' is not understood: write " + right);
    }
    if (!clamp || !inner || !outer || !bore)
        throw InputError("valve " + name + " needs clamp, ports and bore: write " + right);
    valve.clamp_od = *clamp;
    valve.port_inner_diameter = *inner;
    valve.port_outer_diameter = *outer;
    valve.shim_id = *bore;
    return valve;
}

void readValves(ComponentModel& model, const std::string& text, SizeUnit bare) {
    model.valves.clear();
    for (const std::string& line : linesOf(text)) model.valves.push_back(valveOf(line, bare));
}

/// A field as a person sees and types it. Numbers take a decimal comma too: like a point it is never a sign
/// of thousands here.
template <class Thing>
std::string shownText(const inventory::MasterField<Thing>& field, const Thing& thing, SizeUnit bare) {
    const std::string text = field.text(thing);
    const bool in_mm = bare == SizeUnit::millimetres || field.content != FieldContent::millimetres;
    return in_mm || text.empty() ? text : typedForm(Length::parseMillimetres(text), bare);
}

template <class Thing>
void readShown(Thing& thing, const inventory::MasterField<Thing>& field, std::string text, SizeUnit bare) {
    if (field.content == FieldContent::millimetres && !text.empty()) {
        try {
            text = typedLength(text, bare).length.text(3);
        } catch (const InputError& error) {
            throw InputError("the " + std::string(field.noun) + " cannot be read: " + error.what());
        }
    }
    const bool number = field.content == FieldContent::money || field.content == FieldContent::decimal;
    if (number && text.find('.') == std::string::npos) std::replace(text.begin(), text.end(), ',', '.');
    inventory::setField(thing, field, text);
}

/// What is said of a field, in the unit that a number without one is in.
std::string helpIn(std::string help, SizeUnit bare) {
    constexpr std::string_view in_mm = ", mm";
    if (bare == SizeUnit::inches && help.ends_with(in_mm))
        help.replace(help.size() - in_mm.size(), in_mm.size(), ", inches; mm as 24 mm");
    return help;
}

template <class Enum, class Name>
std::vector<std::string> namesOf(std::initializer_list<Enum> values, Name name) {
    std::vector<std::string> names;
    for (const Enum value : values) names.emplace_back(name(value));
    return names;
}

/// An O-ring that is named by a standard's size code has its sizes.
void takeStandardSizes(Part& part) {
    if (part.kind != PartKind::oRing || part.id || part.section || part.size_code.empty()) return;
    const auto ring = findStandardORing(part.size_code);
    if (!ring)
        throw InputError("there is no O-ring of size code '" + part.size_code +
                         "' in ISO 3601-1 or JIS B 2401-1: give its inner diameter and cross-section");
    part.id = ring->id;
    part.section = ring->section;
}

/// How one kind of thing is found, made and changed.
template <class Thing>
struct Door {
    std::vector<MoreField<Thing>> codes, lists;
    Thing blank{};
    std::function<std::vector<Thing>(ShopFile&)> list;
    std::function<std::optional<Thing>(ShopFile&, const Thing&)> find; ///< that has its code
    std::function<std::string(ShopFile&, const Thing&)> add;
    std::function<std::vector<MasterChange>(ShopFile&, const Thing& now, const Thing& seen)> update;
    std::function<MasterChange(ShopFile&, const Thing&, bool)> retire; ///< none: it cannot be
    std::function<std::vector<HistoryLine>(ShopFile&, const Thing&)> history;
    std::map<std::string, std::vector<std::string>> choices; ///< by field
    std::vector<std::string> listed;
};

template <class Thing>
bool isRetired(const Thing& thing) {
    if constexpr (requires { thing.retired; })
        return thing.retired;
    else
        return false;
}

template <class Thing>
OwnDataKind kindOf(const std::string& name, const std::string& one, const Door<Thing>& door,
                   SizeUnit bare = SizeUnit::millimetres) {
    OwnDataKind kind;
    kind.name = name;
    kind.one = one;
    for (const MoreField<Thing>& field : door.codes) kind.fields.push_back(field.field);
    for (const inventory::MasterField<Thing>& field : inventory::fieldsOf<Thing>()) {
        if (field.name == "retired") continue;
        OwnDataField shown{std::string(field.name), std::string(field.noun),
                           helpIn(std::string(field.help), bare), field.content};
        shown.needed = field.needed;
        if (const auto words = door.choices.find(shown.name); words != door.choices.end())
            shown.choices = words->second;
        kind.fields.push_back(std::move(shown));
    }
    for (const MoreField<Thing>& field : door.lists) kind.fields.push_back(field.field);
    for (const std::string& field : door.listed) {
        for (std::size_t i = 0; i < kind.fields.size(); ++i) {
            if (kind.fields[i].name == field) kind.listed.push_back(i);
        }
    }
    const auto recordOf = [door, bare](const Thing& thing) {
        OwnDataRecord record;
        for (const MoreField<Thing>& field : door.codes) record.texts.push_back(field.text(thing));
        for (const inventory::MasterField<Thing>& field : inventory::fieldsOf<Thing>()) {
            if (field.name != "retired") record.texts.push_back(shownText(field, thing, bare));
        }
        for (const MoreField<Thing>& field : door.lists) record.texts.push_back(field.text(thing));
        record.retired = isRetired(thing);
        return record;
    };
    const auto read = [door, bare](const OwnDataRecord& record) {
        Thing thing{};
        std::size_t i = 0;
        for (const MoreField<Thing>& field : door.codes) field.read(thing, record.texts.at(i++));
        for (const inventory::MasterField<Thing>& field : inventory::fieldsOf<Thing>()) {
            if (field.name != "retired") readShown(thing, field, record.texts.at(i++), bare);
        }
        for (const MoreField<Thing>& field : door.lists) field.read(thing, record.texts.at(i++));
        if constexpr (requires { thing.retired; }) thing.retired = record.retired;
        return thing;
    };
    // Blanks about what a person typed mean nothing; what the shop has is as it is.
    const auto typed = [](OwnDataRecord record, const OwnDataRecord& before) {
        for (std::size_t i = 0; i < record.texts.size(); ++i) {
            if (record.texts[i] != before.texts.at(i)) record.texts[i] = trimmed(record.texts[i]);
        }
        return record;
    };
    kind.blank = recordOf(door.blank);
    kind.list = [door, recordOf](ShopFile& shop) {
        std::vector<OwnDataRecord> records;
        for (const Thing& thing : door.list(shop)) records.push_back(recordOf(thing));
        std::stable_sort(records.begin(), records.end(), [](const OwnDataRecord& a, const OwnDataRecord& b) {
            return a.retired < b.retired;
        });
        return records;
    };
    kind.again = [door, recordOf, read](ShopFile& shop, const OwnDataRecord& record) {
        const std::optional<Thing> now = door.find(shop, read(record));
        return now ? recordOf(*now) : record;
    };
    kind.add = [door, read, typed, blank = kind.blank](ShopFile& shop, const OwnDataRecord& record) {
        return door.add(shop, read(typed(record, blank)));
    };
    kind.change = [door, read, typed](ShopFile& shop, const OwnDataRecord& seen, const OwnDataRecord& now) {
        std::vector<std::string> sentences;
        for (const MasterChange& change : door.update(shop, read(typed(now, seen)), read(seen)))
            sentences.push_back(changeSentence(change));
        return sentences;
    };
    kind.can_retire = static_cast<bool>(door.retire);
    kind.retire = [door, read](ShopFile& shop, const OwnDataRecord& record, bool retired) {
        return changeSentence(door.retire(shop, read(record), retired));
    };
    kind.history = [door, read](ShopFile& shop, const OwnDataRecord& record) {
        std::vector<std::string> sentences;
        for (const HistoryLine& line : door.history(shop, read(record))) {
            if (line.change)
                sentences.push_back(line.change->utc.date().text() + ": " + changeSentence(*line.change));
        }
        std::reverse(sentences.begin(), sentences.end());
        return sentences;
    };
    kind.shown = [count = kind.fields.size()](const OwnDataRecord&) {
        return std::vector<bool>(count, true);
    };
    return kind;
}

OwnDataKind parts(SizeUnit bare) {
    Door<Part> door;
    door.codes = {
        {{"part", "code", "Its code; left empty it is made of kind and sizes, such as SH-24.0-6-0.10",
          FieldContent::text, true},
         [](const Part& part) { return part.code; },
         [](Part& part, const std::string& text) { part.code = text; }}};
    door.blank.kind = PartKind::shim;
    door.list = [](ShopFile& shop) {
        return inventory::PartCatalogue(shop).list(inventory::Retired::included);
    };
    door.find = [](ShopFile& shop, const Part& part) {
        return inventory::PartCatalogue(shop).find(part.code);
    };
    door.add = [](ShopFile& shop, Part part) {
        takeStandardSizes(part);
        return "Part " + addPart(shop, part) + " is there: " + inventory::partText(part) + ".";
    };
    door.update = [](ShopFile& shop, const Part& now, const Part& seen) {
        return inventory::PartCatalogue(shop).update(now, seen);
    };
    door.retire = [](ShopFile& shop, const Part& part, bool retired) {
        inventory::PartCatalogue catalogue(shop);
        return retired ? catalogue.retire(part.code) : catalogue.bringBack(part.code);
    };
    door.history = [](ShopFile& shop, const Part& part) { return partHistory(shop, part.code); };
    for (const inventory::PartKindRule& rule : inventory::allPartKinds())
        door.choices["kind"].emplace_back(rule.name);
    door.choices["unit"] = namesOf({inventory::QuantityUnit::piece, inventory::QuantityUnit::millimetre,
                                    inventory::QuantityUnit::millilitre},
                                   inventory::quantityUnitName);
    door.listed = {"part", "kind", "description", "od_mm", "id_mm", "thickness_mm", "reorder_point"};
    OwnDataKind kind = kindOf<Part>("parts", "part", door, bare);
    std::size_t kind_field = 0;
    for (std::size_t i = 0; i < kind.fields.size(); ++i) {
        if (kind.fields[i].name == "kind") kind_field = i;
    }
    kind.shown = [fields = kind.fields, kind_field](const OwnDataRecord& record) {
        std::vector<bool> shown(fields.size(), true);
        for (const inventory::PartKindRule& rule : inventory::allPartKinds()) {
            if (rule.name != record.texts.at(kind_field) || rule.takes_any_size) continue;
            for (std::size_t i = 0; i < fields.size(); ++i) {
                for (const inventory::SizeField& size : inventory::allSizeFields()) {
                    if (size.column != fields[i].name) continue;
                    const bool needed =
                        std::any_of(rule.needs.begin(), rule.needs.end(),
                                    [&](const auto* need) { return need->column == size.column; });
                    const bool either =
                        rule.needs_od_or_id && (size.column == "od_mm" || size.column == "id_mm");
                    shown[i] = needed || either || !record.texts.at(i).empty();
                }
            }
        }
        return shown;
    };
    return kind;
}

OwnDataKind drawers() {
    Door<Bin> door;
    door.codes = {
        {{"bin", "code", "Its code, or a series such as A01..A52", FieldContent::text, true, false, true},
         [](const Bin& bin) { return bin.code; },
         [](Bin& bin, const std::string& text) { bin.code = text; }}};
    door.list = [](ShopFile& shop) { return inventory::BinList(shop).list(inventory::Retired::included); };
    door.find = [](ShopFile& shop, const Bin& bin) { return inventory::BinList(shop).find(bin.code); };
    door.add = [](ShopFile& shop, const Bin& bin) {
        const std::vector<std::string> codes = addBins(shop, bin.code, bin);
        return codes.size() == 1 ? "Drawer " + codes.front() + " is there."
                                 : "Drawers " + codes.front() + " to " + codes.back() + " (" +
                                       std::to_string(codes.size()) + ") are there.";
    };
    door.update = [](ShopFile& shop, const Bin& now, const Bin& seen) {
        return inventory::BinList(shop).update(now, seen);
    };
    door.retire = [](ShopFile& shop, const Bin& bin, bool retired) {
        inventory::BinList bins(shop);
        return retired ? bins.retire(bin.code) : bins.bringBack(bin.code);
    };
    door.history = [](ShopFile& shop, const Bin& bin) { return binHistory(shop, bin.code); };
    door.listed = {"bin", "cabinet", "walking_order", "note"};
    return kindOf<Bin>("drawers", "drawer", door);
}

OwnDataKind suppliers() {
    Door<Supplier> door;
    door.codes = {{{"supplier", "name", "Its name", FieldContent::text, true, false, true},
                   [](const Supplier& supplier) { return supplier.name; },
                   [](Supplier& supplier, const std::string& text) { supplier.name = text; }}};
    door.list = [](ShopFile& shop) {
        return inventory::SupplierList(shop).list(inventory::Retired::included);
    };
    door.find = [](ShopFile& shop, const Supplier& supplier) {
        return inventory::SupplierList(shop).find(supplier.name);
    };
    door.add = [](ShopFile& shop, const Supplier& supplier) {
        inventory::SupplierList(shop).add(supplier);
        return "Supplier " + supplier.name + " is there.";
    };
    door.update = [](ShopFile& shop, const Supplier& now, const Supplier& seen) {
        return inventory::SupplierList(shop).update(now, seen);
    };
    door.retire = [](ShopFile& shop, const Supplier& supplier, bool retired) {
        inventory::SupplierList list(shop);
        return retired ? list.retire(supplier.name) : list.bringBack(supplier.name);
    };
    door.history = [](ShopFile& shop, const Supplier& supplier) {
        return supplierHistory(shop, supplier.name);
    };
    door.listed = {"supplier", "lead_time_days", "currency", "minimum_order", "freight"};
    return kindOf<Supplier>("suppliers", "supplier", door);
}

OwnDataKind offers() {
    Door<SupplierPart> door;
    door.codes = {
        {{"supplier", "supplier", "Who offers it", FieldContent::text, true, false, true},
         [](const SupplierPart& offer) { return offer.supplier; },
         [](SupplierPart& offer, const std::string& text) { offer.supplier = text; }},
        {{"part", "part", "Code of the part", FieldContent::text, true, false, true},
         [](const SupplierPart& offer) { return offer.part; },
         [](SupplierPart& offer, const std::string& text) { offer.part = text; }},
        {{"pack_size", "pack size", "How many are in a pack", FieldContent::whole, true, false, true},
         [](const SupplierPart& offer) { return std::to_string(offer.pack_size); },
         [](SupplierPart& offer, const std::string& text) {
             offer.pack_size = text.empty() ? 1 : wholeOf(text, "the pack size");
         }}};
    door.lists = {{{"price_breaks", "price breaks",
                    "One on each line: from so many packs, price of a pack, such as 5 = 3.80",
                    FieldContent::text, false, true},
                   breaksText,
                   readBreaks}};
    door.list = [](ShopFile& shop) {
        return inventory::SupplierList(shop).offers(inventory::Retired::included);
    };
    door.find = [](ShopFile& shop, const SupplierPart& offer) {
        return std::optional(
            inventory::SupplierList(shop).getOffer(offer.supplier, offer.part, offer.pack_size));
    };
    door.add = [](ShopFile& shop, SupplierPart offer) {
        if (!offer.priced_on) offer.priced_on = shop.now().date();
        inventory::SupplierList(shop).addOffer(offer);
        return offer.supplier + " offers " + offer.part + " in packs of " + std::to_string(offer.pack_size) +
               ".";
    };
    door.update = [](ShopFile& shop, SupplierPart now, const SupplierPart& seen) {
        const bool priced = now.pack_price != seen.pack_price || now.breaks != seen.breaks;
        if (priced && now.priced_on == seen.priced_on) now.priced_on = shop.now().date();
        return inventory::SupplierList(shop).updateOffer(now, seen);
    };
    door.retire = [](ShopFile& shop, const SupplierPart& offer, bool retired) {
        inventory::SupplierList list(shop);
        return retired ? list.retireOffer(offer.supplier, offer.part, offer.pack_size)
                       : list.bringOfferBack(offer.supplier, offer.part, offer.pack_size);
    };
    door.history = [](ShopFile& shop, const SupplierPart& offer) {
        std::vector<HistoryLine> lines = supplierHistory(shop, offer.supplier);
        std::erase_if(lines, [&](const HistoryLine& line) {
            return !line.change || line.change->about.part != offer.part ||
                   line.change->about.pack_size != offer.pack_size;
        });
        return lines;
    };
    door.listed = {"supplier", "part", "pack_size", "pack_price", "priced_on"};
    OwnDataKind kind = kindOf<SupplierPart>("offers", "offer", door);
    for (std::size_t i = 0; i < kind.fields.size(); ++i) {
        if (kind.fields[i].name == "pack_price") kind.blank.texts[i].clear(); // nothing is free
    }
    return kind;
}

OwnDataKind models(SizeUnit bare) {
    Door<ComponentModel> door;
    door.codes = {{{"model", "code", "Its code, such as FORK-48", FieldContent::text, true, false, true},
                   [](const ComponentModel& model) { return model.code; },
                   [](ComponentModel& model, const std::string& text) { model.code = text; }}};
    door.lists = {
        {{"wear_parts", "wear parts", "One on each line: part = how many a leg, note, such as SEAL-48 = 1",
          FieldContent::text, false, true},
         wearPartsText,
         readWearParts},
        {{"valves", "valves", "One on each line: base = clamp 10, ports 13 to 20, bore 6", FieldContent::text,
          false, true},
         [bare](const ComponentModel& model) { return valvesText(model, bare); },
         [bare](ComponentModel& model, const std::string& text) { readValves(model, text, bare); }}};
    door.list = [](ShopFile& shop) {
        return inventory::ComponentModels(shop).list(inventory::Retired::included);
    };
    door.find = [](ShopFile& shop, const ComponentModel& model) {
        return inventory::ComponentModels(shop).find(model.code);
    };
    door.add = [](ShopFile& shop, const ComponentModel& model) {
        inventory::ComponentModels(shop).add(model);
        return "Model " + model.code + " is there.";
    };
    door.update = [](ShopFile& shop, const ComponentModel& now, const ComponentModel& seen) {
        return inventory::ComponentModels(shop).update(now, seen);
    };
    door.retire = [](ShopFile& shop, const ComponentModel& model, bool retired) {
        inventory::ComponentModels list(shop);
        return retired ? list.retire(model.code) : list.bringBack(model.code);
    };
    door.history = [](ShopFile& shop, const ComponentModel& model) { return modelHistory(shop, model.code); };
    door.choices["kind"] = namesOf({inventory::ComponentKind::fork, inventory::ComponentKind::shock},
                                   inventory::componentKindName);
    door.listed = {"model", "kind", "description", "legs"};
    return kindOf<ComponentModel>("component models", "component model", door, bare);
}

/// One record for each valve of each model, also where nobody has measured anything yet.
OwnDataKind flows(SizeUnit bare) {
    using inventory::ModelFlow;
    Door<ModelFlow> door;
    door.codes = {{{"model", "model", "Code of the component model", FieldContent::text, true, false, true},
                   [](const ModelFlow& flow) { return flow.model; },
                   [](ModelFlow& flow, const std::string& text) { flow.model = text; }},
                  {{"valve", "valve", "Name of one of its valves", FieldContent::text, true, false, true},
                   [](const ModelFlow& flow) { return flow.valve; },
                   [](ModelFlow& flow, const std::string& text) { flow.valve = text; }}};
    door.list = [](ShopFile& shop) {
        const inventory::ModelFlows known(shop);
        std::vector<ModelFlow> list;
        for (const ComponentModel& model : inventory::ComponentModels(shop).list())
            for (const inventory::JobValve& valve : model.valves)
                list.push_back(known.get(model.code, valve.name));
        return list;
    };
    door.find = [](ShopFile& shop, const ModelFlow& flow) {
        return std::optional(inventory::ModelFlows(shop).get(flow.model, flow.valve));
    };
    door.add = [](ShopFile& shop, const ModelFlow& flow) {
        inventory::ModelFlows known(shop);
        if (!known.get(flow.model, flow.valve).saysNothing())
            throw InputError("the flow of valve '" + flow.valve + "' of model " + flow.model +
                             " is there already: pick it in the list");
        known.update(flow);
        return "The flow of valve '" + flow.valve + "' of model " + flow.model + " is there.";
    };
    door.update = [](ShopFile& shop, const ModelFlow& now, const ModelFlow& seen) {
        return inventory::ModelFlows(shop).update(now, seen);
    };
    door.history = [](ShopFile& shop, const ModelFlow& flow) {
        std::vector<HistoryLine> lines = modelHistory(shop, flow.model);
        std::erase_if(
            lines, [&](const HistoryLine& line) { return !line.change || line.change->item != flow.valve; });
        return lines;
    };
    door.choices["stroke"] = {"", "compression", "rebound"};
    door.choices["driven_by"] = {"", "piston", "shaft"};
    door.listed = {"model", "valve", "piston_mm", "shaft_mm", "bleed_mm"};
    return kindOf<ModelFlow>("valves' flows", "flow of a valve", door, bare);
}

OwnDataKind recipes(SizeUnit bare) {
    using inventory::Recipe;
    Door<Recipe> door;
    door.codes = {{{"recipe", "name", "Its name, such as trail, soft", FieldContent::text, true, false, true},
                   [](const Recipe& recipe) { return recipe.name; },
                   [](Recipe& recipe, const std::string& text) { recipe.name = text; }}};
    door.list = [](ShopFile& shop) { return inventory::RecipeList(shop).list(inventory::Retired::included); };
    door.find = [](ShopFile& shop, const Recipe& recipe) {
        return inventory::RecipeList(shop).find(recipe.name);
    };
    door.add = [](ShopFile& shop, const Recipe& recipe) {
        addRecipe(shop, recipe);
        return "Recipe " + recipe.name + " is there: the kit counts with it.";
    };
    door.update = [](ShopFile& shop, const Recipe& now, const Recipe& seen) {
        return updateRecipe(shop, now, seen);
    };
    door.retire = [](ShopFile& shop, const Recipe& recipe, bool retired) {
        inventory::RecipeList list(shop);
        return retired ? list.retire(recipe.name) : list.bringBack(recipe.name);
    };
    door.history = [](ShopFile& shop, const Recipe& recipe) { return recipeHistory(shop, recipe.name); };
    door.listed = {"recipe", "jobs_a_year", "model", "valve", "stack"};
    OwnDataKind kind = kindOf<Recipe>("recipes", "recipe", door, bare);
    const auto place = [fields = kind.fields](std::string_view name) {
        const auto found =
            std::find_if(fields.begin(), fields.end(), [&](const auto& field) { return field.name == name; });
        return static_cast<std::size_t>(found - fields.begin());
    };
    // Nobody has said 0 of a new one; and the model's valve may tell its sizes.
    kind.blank.texts[place("jobs_a_year")].clear();
    for (const char* size :
         {"clamp_od_mm", "port_inner_diameter_mm", "port_outer_diameter_mm", "shim_id_mm"}) {
        kind.blank.texts[place(size)].clear();
        kind.fields[place(size)].needed = false;
    }
    kind.add = [add = kind.add, place, bare](ShopFile& shop, OwnDataRecord record) {
        const auto text = [&](std::string_view name) -> std::string& { return record.texts.at(place(name)); };
        const bool sizes = !(text("clamp_od_mm") + text("port_inner_diameter_mm") +
                             text("port_outer_diameter_mm") + text("shim_id_mm"))
                                .empty();
        if (!sizes && !trimmed(text("model")).empty()) {
            const inventory::JobValve valve =
                valveOfModel(shop, trimmed(text("model")), trimmed(text("valve")));
            text("valve") = valve.name;
            text("clamp_od_mm") = typedForm(valve.clamp_od, bare);
            text("port_inner_diameter_mm") = typedForm(valve.port_inner_diameter, bare);
            text("port_outer_diameter_mm") = typedForm(valve.port_outer_diameter, bare);
            text("shim_id_mm") = typedForm(valve.shim_id, bare);
            if (valve.seat_diameter) text("seat_diameter_mm") = typedForm(*valve.seat_diameter, bare);
            if (valve.preload) text("preload_mm") = typedForm(*valve.preload, bare, 2);
        }
        return add(shop, record);
    };
    return kind;
}

OwnDataKind classes() {
    Door<ReorderClass> door;
    door.codes = {
        {{"class", "class", "Name of the class of parts; empty: all that have no class of their own",
          FieldContent::text, true},
         [](const ReorderClass& one) { return one.part_class; },
         [](ReorderClass& one, const std::string& text) { one.part_class = text; }}};
    door.list = [](ShopFile& shop) {
        const inventory::ReorderClasses classes(shop);
        std::vector<ReorderClass> list = classes.list();
        if (std::none_of(list.begin(), list.end(),
                         [](const ReorderClass& one) { return one.part_class.empty(); }))
            list.insert(list.begin(), classes.of(""));
        return list;
    };
    door.find = [](ShopFile& shop, const ReorderClass& one) {
        return std::optional(inventory::ReorderClasses(shop).of(one.part_class));
    };
    door.add = [](ShopFile& shop, const ReorderClass& settings) {
        inventory::ReorderClasses classes(shop);
        for (const ReorderClass& known : classes.list()) {
            if (known.part_class == settings.part_class)
                throw InputError("the class '" + settings.part_class + "' is there already");
        }
        static_cast<void>(classes.set(settings));
        return "Class '" + settings.part_class + "' is there.";
    };
    door.update = [](ShopFile& shop, const ReorderClass& now, const ReorderClass&) {
        return inventory::ReorderClasses(shop).set(now);
    };
    door.history = [](ShopFile& shop, const ReorderClass& one) { return classHistory(shop, one.part_class); };
    door.listed = {"class", "service_per_mille", "review_days", "line_cost", "holding_percent"};
    return kindOf<ReorderClass>("reorder classes", "reorder class", door);
}

} // namespace

std::string addPart(ShopFile& shop, Part part) {
    takeStandardSizes(part);
    if (part.code.empty()) part.code = suggestedCode(part);
    if (part.code.empty()) {
        part.code = "new";
        inventory::checkPart(part); // a missing size is the better sentence
        throw InputError("the part has no sizes to name it by: give it a code");
    }
    if (part.description.empty()) part.description = inventory::partText(part);
    inventory::PartCatalogue(shop).add(part);
    return part.code;
}

std::vector<std::string> addBins(ShopFile& shop, const std::string& series, Bin bin) {
    constexpr std::int64_t step = 10; // leaves room for what comes between
    const std::vector<std::string> codes = inventory::binSeries(series);
    shop.atomically([&] {
        inventory::BinList bins(shop);
        if (bin.walking_order == 0) {
            for (const Bin& known : bins.list(inventory::Retired::included))
                bin.walking_order = std::max(bin.walking_order, known.walking_order);
            bin.walking_order += step;
        }
        for (const std::string& code : codes) {
            bin.code = code;
            bins.add(bin);
            bin.walking_order += step;
        }
    });
    return codes;
}

std::vector<OwnDataKind> ownDataKinds(SizeUnit bare) {
    return {parts(bare),  drawers(),   suppliers(),   offers(),
            models(bare), flows(bare), recipes(bare), classes()};
}

} // namespace shimledger::services
