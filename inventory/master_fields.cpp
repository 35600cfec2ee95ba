// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/master_fields.h"

#include "inventory/part_kinds.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/quoted.h"

#include <charconv>
#include <concepts>
#include <optional>
#include <type_traits>

namespace shimledger::inventory {

namespace {

// --- values to texts and back ---

std::int64_t wholeOf(const std::string& text) {
    std::int64_t value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error == std::errc::invalid_argument || end != text.data() + text.size())
        throw InputError(inQuotes(text) + " is not a whole number: write digits only, such as 12");
    if (error != std::errc()) throw InputError(inQuotes(text) + " is out of range");
    if (text.size() > 1 && text.front() == '0')
        throw InputError(inQuotes(text) + " begins with a needless 0: write " + std::to_string(value));
    return value;
}

template <class Value>
struct Unwrapped {
    using Type = Value;
    static constexpr bool optional = false;
};
template <class Value>
struct Unwrapped<std::optional<Value>> {
    using Type = Value;
    static constexpr bool optional = true;
};

template <FieldContent content, int decimals, class Value>
std::string textOf(const Value& value) {
    if constexpr (Unwrapped<Value>::optional) {
        return value ? textOf<content, decimals>(*value) : std::string();
    } else if constexpr (std::same_as<Value, std::string>) {
        return value;
    } else if constexpr (std::same_as<Value, bool>) {
        return value ? "yes" : "no";
    } else if constexpr (std::same_as<Value, Length>) {
        return value.text(decimals);
    } else if constexpr (std::same_as<Value, CalendarDate>) {
        return value.text();
    } else if constexpr (std::same_as<Value, PartKind>) {
        return std::string(partKindName(value));
    } else if constexpr (std::same_as<Value, QuantityUnit>) {
        return std::string(quantityUnitName(value));
    } else if constexpr (std::same_as<Value, ComponentKind>) {
        return std::string(componentKindName(value));
    } else if constexpr (std::same_as<Value, Decimal>) {
        return value.text();
    } else if constexpr (std::same_as<Value, Stroke>) {
        return std::string(strokeName(value));
    } else if constexpr (std::same_as<Value, FlowDrive>) {
        return std::string(flowDriveName(value));
    } else if constexpr (std::same_as<Value, std::vector<AdjusterPlace>>) {
        return adjusterText(value);
    } else if constexpr (std::same_as<Value, std::vector<RecipeRow>>) {
        return recipeStackText(value);
    } else if constexpr (content == FieldContent::money) {
        return moneyText(value);
    } else {
        return std::to_string(value);
    }
}

template <FieldContent content, class Value>
Value valueOf(const std::string& text) {
    if constexpr (std::same_as<Value, std::string>) {
        return text;
    } else if constexpr (std::same_as<Value, bool>) {
        return !text.empty() && parseYesNo(text);
    } else if constexpr (std::same_as<Value, Length>) {
        return Length::parseMillimetres(text);
    } else if constexpr (std::same_as<Value, CalendarDate>) {
        return CalendarDate::parse(text);
    } else if constexpr (std::same_as<Value, PartKind>) {
        return parsePartKind(text);
    } else if constexpr (std::same_as<Value, QuantityUnit>) {
        return parseQuantityUnit(text);
    } else if constexpr (std::same_as<Value, ComponentKind>) {
        return parseComponentKind(text);
    } else if constexpr (std::same_as<Value, Decimal>) {
        return Decimal::parse(text);
    } else if constexpr (std::same_as<Value, Stroke>) {
        return parseStroke(text);
    } else if constexpr (std::same_as<Value, FlowDrive>) {
        return parseFlowDrive(text);
    } else if constexpr (std::same_as<Value, std::vector<AdjusterPlace>>) {
        return parseAdjuster(text);
    } else if constexpr (std::same_as<Value, std::vector<RecipeRow>>) {
        return parseRecipeStack(text);
    } else if constexpr (content == FieldContent::money) {
        return parseMoney(text);
    } else {
        return static_cast<Value>(wholeOf(text));
    }
}

template <class Class, class Value>
Class classOf(Value Class::*);
template <class Class, class Value>
Value memberOf(Value Class::*);

/// A field that is one member of its struct.
template <auto member, FieldContent content = FieldContent::text, int decimals = 1>
constexpr auto field(std::string_view name, std::string_view noun, std::string_view help, bool needed = false,
                     std::int64_t least = 0, std::int64_t greatest = 1'000'000'000) {
    using Thing = decltype(classOf(member));
    using Value = decltype(memberOf(member));
    using Inner = typename Unwrapped<Value>::Type;
    return MasterField<Thing>{name,
                              noun,
                              help,
                              content,
                              [](const Thing& thing) { return textOf<content, decimals>(thing.*member); },
                              [](Thing& thing, const std::string& text) {
                                  if constexpr (Unwrapped<Value>::optional) {
                                      if (text.empty()) {
                                          thing.*member = Value();
                                          return;
                                      }
                                  }
                                  thing.*member = valueOf<content, Inner>(text);
                              },
                              needed,
                              least,
                              greatest};
}

constexpr FieldContent word = FieldContent::word;
constexpr FieldContent millimetres = FieldContent::millimetres;
constexpr FieldContent decimal = FieldContent::decimal;
constexpr FieldContent whole = FieldContent::whole;
constexpr FieldContent money = FieldContent::money;
constexpr FieldContent day = FieldContent::day;
constexpr FieldContent yes_no = FieldContent::yesNo;
constexpr std::int64_t most_days = 3650;

constexpr std::int64_t any_length = 1'000'000'000;

/// A whole number, a decimal's thousandths or a length's micrometres, where the field has a range of them.
template <class Thing>
void mustLieInRange(const MasterField<Thing>& field, const std::string& text) {
    std::int64_t value = 0;
    std::string least = std::to_string(field.least), greatest = std::to_string(field.greatest);
    if (field.content == FieldContent::whole) {
        value = wholeOf(text);
    } else if (field.content == FieldContent::decimal) {
        value = Decimal::parse(text).thousandths();
        least = Decimal::fromThousandths(field.least).text();
        greatest = Decimal::fromThousandths(field.greatest).text();
    } else if (field.content == FieldContent::millimetres && field.greatest != any_length) {
        value = Length::parseMillimetres(text).micrometres();
        least = Length::fromMicrometres(field.least).text();
        greatest = Length::fromMicrometres(field.greatest).text() + " mm";
    } else {
        return;
    }
    if (value < field.least || value > field.greatest)
        throw InputError(text + " is out of range: give " + least + " to " + greatest);
}

template <class Thing>
FieldWords wordsOf(std::string_view field) {
    for (const MasterField<Thing>& known : fieldsOf<Thing>()) {
        if (known.name == field) return {known.noun, known.content};
    }
    return {};
}

} // namespace

bool parseYesNo(std::string_view text) {
    if (text == "yes") return true;
    if (text == "no") return false;
    throw InputError(inQuotes(text) + " is neither yes nor no");
}

template <>
std::span<const MasterField<Part>> fieldsOf<Part>() {
    static constexpr MasterField<Part> fields[] = {
        field<&Part::kind, word>("kind", "kind", "Kind of part: shim, bushing, oil_seal ...", true),
        field<&Part::description>("description", "description", "What it is, in words"),
        field<&Part::od, millimetres>("od_mm", "outer diameter", "Outer diameter, mm"),
        field<&Part::id, millimetres>("id_mm", "inner diameter", "Inner diameter, mm"),
        field<&Part::thickness, millimetres, 2>("thickness_mm", "thickness", "Nominal thickness, mm"),
        field<&Part::section, millimetres, 2>("section_mm", "cross-section",
                                              "Cross-section of an O-ring, mm"),
        field<&Part::length, millimetres>("length_mm", "length", "Length of a bushing, height of a seal, mm"),
        field<&Part::size_code>("size_code", "size code", "Size code of an O-ring, such as 210 or P18"),
        field<&Part::material>("material", "material", "Steel of a shim, compound of an O-ring"),
        field<&Part::hardness>("hardness", "hardness", "Hardness"),
        field<&Part::coating>("coating", "coating", "Coating of a bushing"),
        field<&Part::unit, word>("unit", "unit", "What is counted: piece, mm or ml", true),
        field<&Part::part_class>("class", "class", "Class of parts that are ordered alike"),
        field<&Part::reorder_point, whole>("reorder_point", "reorder point",
                                           "Reorder when fewer are available"),
        field<&Part::shelf_life_months, whole>("shelf_life_months", "shelf life", "Shelf life, months", false,
                                               1, 1200),
        field<&Part::note>("note", "note", "Note"),
        field<&Part::retired, yes_no>("retired", "retired", "yes or no")};
    return fields;
}

template <>
std::span<const MasterField<Bin>> fieldsOf<Bin>() {
    static constexpr MasterField<Bin> fields[] = {
        field<&Bin::cabinet>("cabinet", "cabinet", "Cabinet that it is in"),
        field<&Bin::walking_order, whole>("walking_order", "walking order",
                                          "Place on the way along the drawers; smaller comes first", true),
        field<&Bin::note>("note", "note", "Note"),
        field<&Bin::retired, yes_no>("retired", "retired", "yes or no")};
    return fields;
}

template <>
std::span<const MasterField<Supplier>> fieldsOf<Supplier>() {
    static constexpr MasterField<Supplier> fields[] = {
        field<&Supplier::lead_time_days, whole>("lead_time_days", "lead time",
                                                "Days from an order to its delivery", true, 0, most_days),
        field<&Supplier::currency, word>("currency", "currency", "Currency of all its prices, such as EUR",
                                         true),
        field<&Supplier::lead_time_spread_days, whole>("lead_time_spread_days", "lead time's spread",
                                                       "Standard deviation of those days", false, 0,
                                                       most_days),
        field<&Supplier::minimum_order, money>("minimum_order", "minimum order",
                                               "Least that an order is worth, in money"),
        field<&Supplier::freight, money>("freight", "freight", "What the delivery of an order costs"),
        field<&Supplier::note>("note", "note", "Note"),
        field<&Supplier::retired, yes_no>("retired", "retired", "yes or no")};
    return fields;
}

template <>
std::span<const MasterField<SupplierPart>> fieldsOf<SupplierPart>() {
    static constexpr MasterField<SupplierPart> fields[] = {
        field<&SupplierPart::pack_price, money>("pack_price", "price",
                                                "Price of one pack, in the supplier's currency", true),
        field<&SupplierPart::supplier_code>("supplier_code", "supplier's code", "The supplier's own code"),
        field<&SupplierPart::priced_on, day>("priced_on", "day of the price",
                                             "Day that the price is of, YYYY-MM-DD"),
        field<&SupplierPart::retired, yes_no>("retired", "retired", "yes or no")};
    return fields;
}

template <>
std::span<const MasterField<ComponentModel>> fieldsOf<ComponentModel>() {
    static constexpr MasterField<ComponentModel> fields[] = {
        field<&ComponentModel::kind, word>("kind", "kind", "fork or shock", true),
        field<&ComponentModel::description>("description", "description", "What it is, in words"),
        field<&ComponentModel::legs, whole>("legs", "number of legs", "Legs, 1 to 4", true, 1, 4),
        field<&ComponentModel::note>("note", "note", "Note"),
        field<&ComponentModel::retired, yes_no>("retired", "retired", "yes or no")};
    return fields;
}

template <>
std::span<const MasterField<ModelFlow>> fieldsOf<ModelFlow>() {
    using M = ModelFlow;
    static constexpr MasterField<ModelFlow> fields[] = {
        field<&M::stroke, word>("stroke", "stroke",
                                "compression or rebound: which one it damps (else as its name says)"),
        field<&M::driven_by, word>("driven_by", "drive of the oil",
                                   "piston or shaft: what drives the oil through it (else as its name says)"),
        field<&M::piston, millimetres>("piston_mm", "piston diameter", "Diameter of the piston, mm", false,
                                       1000, 350'000),
        field<&M::shaft, millimetres>("shaft_mm", "shaft diameter", "Diameter of the shaft, mm", false, 1000,
                                      300'000),
        field<&M::port_count, whole>("port_count", "number of ports", "Round ports under the stack", false, 1,
                                     100),
        field<&M::port, millimetres>("port_mm", "port diameter", "Diameter of each, mm", false, 100, 35'000),
        field<&M::port_area_mm2, decimal>("port_area_mm2", "area of the ports",
                                          "Or the area of all ports at their narrowest, mm2", false, 100,
                                          100'000'000),
        field<&M::open_share, decimal>(
            "open_share", "open share",
            "Part of the ports' rim over which oil leaves under the face disc, 0.01 to 1", false, 10, 1000),
        field<&M::bleed, millimetres>(
            "bleed_mm", "bleed", "Diameter of the bleed beside the stack, mm; 0: none", false, 0, 20'000),
        field<&M::adjuster>("adjuster", "adjuster",
                            "Or clicks out from closed, each with its bleed in mm, such as 0=0 4=0.8 8=1.2"),
        field<&M::needle_seat, millimetres>("needle_seat_mm", "needle's seat",
                                            "Or the adjuster's needle: diameter of its seat, mm", false, 100,
                                            50'000),
        field<&M::needle_cone_deg, decimal>("needle_cone_deg", "needle's cone",
                                            "Full angle of its taper, degrees", false, 1000, 170'000),
        field<&M::needle_pitch, millimetres>("needle_pitch_mm", "needle's pitch", "Travel of one turn, mm",
                                             false, 50, 10'000),
        field<&M::needle_clicks_per_turn, whole>("needle_clicks_per_turn", "clicks per turn",
                                                 "Clicks of one turn", false, 1, 200),
        field<&M::needle_clicks, whole>("needle_clicks", "needle's clicks", "Clicks from closed to wide open",
                                        false, 1, 200),
        field<&M::click, whole>("click", "click", "Where the adjuster usually stands, out from closed", false,
                                0, 200),
        field<&M::oil_density_kg_m3, decimal>("oil_density_kg_m3", "oil's density",
                                              "Of the oil at 15 C, kg/m3", false, 500'000, 1'500'000),
        field<&M::oil_40c_mm2_s, decimal>("oil_40c_mm2_s", "oil's viscosity at 40 C",
                                          "By its data sheet, mm2/s", false, 1000, 5'000'000),
        field<&M::oil_100c_mm2_s, decimal>("oil_100c_mm2_s", "oil's viscosity at 100 C",
                                           "By its data sheet, mm2/s", false, 1000, 5'000'000),
        field<&M::temperature_c, decimal>("temperature_c", "working temperature", "Of the oil at work, C",
                                          false, -40'000, 150'000),
        field<&M::backing_mpa, decimal>("backing_mpa", "backing pressure",
                                        "Gauge pressure of the gas, or what a base valve holds, MPa", false,
                                        0, 50'000),
        field<&M::working_lift, millimetres>(
            "working_lift_mm", "working lift",
            "Lift of the face shim's edge that the valve works up to, mm: as far as curves are compared",
            false, 10, 5'000),
        field<&M::port_discharge, decimal>("port_discharge", "ports' discharge",
                                           "Coefficient of discharge of the ports, 0.1 to 1", false, 100,
                                           1000),
        field<&M::curtain_discharge, decimal>(
            "curtain_discharge", "gap's discharge",
            "Coefficient of discharge of the gap under the face disc, 0.1 to 1", false, 100, 1000),
        field<&M::bleed_discharge, decimal>("bleed_discharge", "bleed's discharge",
                                            "Coefficient of discharge of the bleed, 0.1 to 1", false, 100,
                                            1000),
        field<&M::fitted_to>("fitted_to", "readings it was fitted to",
                             "What figures were fitted to, and how well: written by damping --keep-fit")};
    return fields;
}

template <>
std::span<const MasterField<ReorderClass>> fieldsOf<ReorderClass>() {
    static constexpr MasterField<ReorderClass> fields[] = {
        field<&ReorderClass::service_per_mille, whole>(
            "service_per_mille", "service level", "Share of jobs promised in full, per mille", true, 1, 999),
        field<&ReorderClass::review_days, whole>("review_days", "review period",
                                                 "Days from one look to the next", true, 0, 365),
        field<&ReorderClass::line_cost, money>("line_cost", "cost of an order line",
                                               "Cost of one more line on an order", true),
        field<&ReorderClass::holding_percent, whole>("holding_percent", "holding cost",
                                                     "Cost of keeping a piece, % of its price a year", true,
                                                     1, 100),
        field<&ReorderClass::cover_months, whole>("cover_months", "longest cover",
                                                  "Never order for more months than this", true, 1, 120),
        field<&ReorderClass::dead_months, whole>("dead_months", "months until stock is dead",
                                                 "Months without demand until stock is dead", true, 1, 120)};
    return fields;
}

template <>
std::span<const MasterField<Recipe>> fieldsOf<Recipe>() {
    constexpr std::int64_t least_um = 100, most_um = 500'000;
    static constexpr MasterField<Recipe> fields[] = {
        field<&Recipe::jobs_a_year, decimal>("jobs_a_year", "jobs a year", "How many jobs a year ask for it",
                                             true, 0, 100'000'000),
        field<&Recipe::legs, whole>("legs", "number of legs", "Legs of a job, 1 to 4", true, 1, 4),
        field<&Recipe::model, word>("model", "component model", "Component model that it is for"),
        field<&Recipe::valve, word>("valve", "valve", "Valve: compression, rebound, base, mid ..."),
        field<&Recipe::clamp_od, millimetres>("clamp_od_mm", "clamp diameter", "Clamp diameter, mm", true,
                                              least_um, most_um),
        field<&Recipe::port_inner_diameter, millimetres>("port_inner_diameter_mm", "ports' inner diameter",
                                                         "Inner diameter of the ports, mm", true, least_um,
                                                         most_um),
        field<&Recipe::port_outer_diameter, millimetres>("port_outer_diameter_mm", "ports' outer diameter",
                                                         "Outer diameter of the ports, mm", true, least_um,
                                                         most_um),
        field<&Recipe::shim_id, millimetres>("shim_id_mm", "bore of the shims", "Bore of the shims, mm", true,
                                             least_um, most_um),
        field<&Recipe::seat_diameter, millimetres>("seat_diameter_mm", "diameter of the seat",
                                                   "Diameter of the seat, mm", false, least_um, most_um),
        field<&Recipe::preload, millimetres, 2>("preload_mm", "preload",
                                                "Height of the seat above the clamp, mm", false, 0, 10'000),
        field<&Recipe::stack>("stack", "stack",
                              "Rows from the piston face to the clamp: \"4 x 24.0 x 0.10; 1 x 18.0 x 0.15\"",
                              true),
        field<&Recipe::note>("note", "note", "Note"),
        field<&Recipe::retired, yes_no>("retired", "retired", "yes or no")};
    return fields;
}

template <class Thing>
void setField(Thing& thing, const MasterField<Thing>& field, const std::string& text) {
    const auto wrong = [&](const std::string& why) {
        std::string sentence = "the ";
        throw FieldError(field.name, sentence.append(field.noun).append(" ").append(why));
    };
    if (field.needed && text.empty()) wrong("may not be empty");
    try {
        if (!text.empty()) mustLieInRange(field, text);
        field.read(thing, text);
    } catch (const InputError& error) {
        wrong(std::string("cannot be read: ") + error.what());
    }
}

template void setField(Part&, const MasterField<Part>&, const std::string&);
template void setField(Bin&, const MasterField<Bin>&, const std::string&);
template void setField(Supplier&, const MasterField<Supplier>&, const std::string&);
template void setField(SupplierPart&, const MasterField<SupplierPart>&, const std::string&);
template void setField(ComponentModel&, const MasterField<ComponentModel>&, const std::string&);
template void setField(ModelFlow&, const MasterField<ModelFlow>&, const std::string&);
template void setField(Recipe&, const MasterField<Recipe>&, const std::string&);
template void setField(ReorderClass&, const MasterField<ReorderClass>&, const std::string&);

FieldWords fieldWords(MasterKind kind, std::string_view field) {
    FieldWords words;
    switch (kind) {
    case MasterKind::part:
        words = wordsOf<Part>(field);
        break;
    case MasterKind::bin:
        words = wordsOf<Bin>(field);
        break;
    case MasterKind::supplier:
        words = wordsOf<Supplier>(field);
        break;
    case MasterKind::offer:
        words = field == price_break_field ? FieldWords{"price break", FieldContent::money}
                                           : wordsOf<SupplierPart>(field);
        break;
    case MasterKind::model:
        words = field == wear_part_field ? FieldWords{"wear part", FieldContent::word}
                : field == valve_field   ? FieldWords{"valve", FieldContent::word}
                                         : wordsOf<ComponentModel>(field);
        if (words.noun.empty()) words = wordsOf<ModelFlow>(field);
        break;
    case MasterKind::reorderClass:
        words = wordsOf<ReorderClass>(field);
        break;
    case MasterKind::recipe:
        words = wordsOf<Recipe>(field);
        break;
    }
    if (words.noun.empty()) {
        std::string sentence = inQuotes(field) + " is no field of ";
        throw InputError(sentence.append(withArticle(masterKindName(kind))));
    }
    return words;
}

} // namespace shimledger::inventory
