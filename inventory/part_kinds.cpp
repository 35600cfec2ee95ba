// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/part_kinds.h"

#include "inventory/storage/field_error.h"
#include "inventory/storage/quoted.h"

#include <algorithm>
#include <array>
#include <stdexcept>

namespace shimledger::inventory {

namespace {

constexpr std::array<SizeField, 5> size_fields{{{"od_mm", "outer diameter", &Part::od},
                                                {"id_mm", "inner diameter", &Part::id},
                                                {"thickness_mm", "thickness", &Part::thickness},
                                                {"section_mm", "cross-section", &Part::section},
                                                {"length_mm", "length", &Part::length}}};
constexpr const SizeField* od = &size_fields[0];
constexpr const SizeField* id = &size_fields[1];
constexpr const SizeField* thickness = &size_fields[2];
constexpr const SizeField* section = &size_fields[3];
constexpr const SizeField* length = &size_fields[4];

struct ConditionWord {
    Condition condition;
    std::string_view name;
};
constexpr std::array<ConditionWord, 2> condition_words{
    {{Condition::fresh, "new"}, {Condition::used, "used"}}};

struct UnitWord {
    QuantityUnit unit;
    std::string_view name;
};
constexpr std::array<UnitWord, 3> unit_words{
    {{QuantityUnit::piece, "piece"}, {QuantityUnit::millimetre, "mm"}, {QuantityUnit::millilitre, "ml"}}};

// Thicknesses and O-rings are spoken with two decimals, diameters with one.
std::string spoken(const SizeField& field, Length size, PartKind kind) {
    const bool fine = &field == thickness || kind == PartKind::oRing;
    return size.text(fine ? 2 : 1);
}

bool takes(const PartKindRule& rule, const SizeField& field) {
    if (rule.takes_any_size) return true;
    if (rule.needs_od_or_id && (&field == od || &field == id)) return true;
    return std::find(rule.needs.begin(), rule.needs.end(), &field) != rule.needs.end();
}

void checkSizes(const Part& part, const PartKindRule& rule, const std::string& who) {
    for (const SizeField& field : size_fields) {
        const std::optional<Length>& size = part.*field.member;
        const std::string noun(field.noun);
        if (size && *size <= Length()) {
            throw FieldError(field.column, who + " has " + withArticle(noun) + " of " + size->text(2) +
                                               " mm: it must be above 0");
        }
        if (size && !takes(rule, field)) {
            std::string sentence = who;
            sentence.append(" is ").append(withArticle(rule.noun)).append(", which has no ").append(noun);
            throw FieldError(field.column, sentence.append(" in the catalogue: leave it empty"));
        }
    }
    for (const SizeField* field : rule.needs) {
        if (!(part.*(field->member))) {
            throw FieldError(field->column, who + " has no " + std::string(field->noun) + ", which " +
                                                withArticle(rule.noun) + " must have");
        }
    }
    if (rule.needs_od_or_id && !part.od && !part.id) {
        throw FieldError(od->column, who + " has neither outer nor inner diameter: a " +
                                         std::string(rule.noun) + " must have one of them");
    }
    if (part.od && part.id && *part.id >= *part.od) {
        throw FieldError(id->column, who + " has an inner diameter of " + part.id->text() +
                                         " mm, which is not below its outer diameter of " + part.od->text() +
                                         " mm");
    }
}

void checkTexts(const Part& part) {
    checkFreeText(part.description, "description", "description");
    checkFreeText(part.size_code, "size code", "size_code");
    checkFreeText(part.material, "material", "material");
    checkFreeText(part.hardness, "hardness", "hardness");
    checkFreeText(part.coating, "coating", "coating");
    checkFreeText(part.part_class, "class", "class");
    checkFreeText(part.note, "note", "note");
}

} // namespace

std::span<const SizeField> allSizeFields() {
    return size_fields;
}

std::span<const PartKindRule> allPartKinds() {
    static const std::vector<PartKindRule> rules{
        {PartKind::shim, "shim", "shim", {od, id, thickness}},
        {PartKind::bushing, "bushing", "bushing", {id, od, length}},
        {PartKind::oilSeal, "oil_seal", "oil seal", {id, od, length}},
        {PartKind::dustSeal, "dust_seal", "dust seal", {id, od, length}},
        {PartKind::oRing, "o_ring", "O-ring", {id, section}},
        {PartKind::snapRing, "snap_ring", "snap ring", {thickness}, true},
        {PartKind::washer, "washer", "washer", {id, od, thickness}},
        {PartKind::fluid, "fluid", "fluid", {}},
        {PartKind::other, "other", "part of another kind", {}, false, true},
    };
    return rules;
}

const PartKindRule& partKindRule(PartKind kind) {
    for (const PartKindRule& rule : allPartKinds()) {
        if (rule.kind == kind) return rule;
    }
    throw std::logic_error("a kind of part is missing in the table of kinds");
}

std::string_view partKindName(PartKind kind) {
    return partKindRule(kind).name;
}

std::string_view conditionName(Condition condition) {
    return condition == Condition::fresh ? condition_words[0].name : condition_words[1].name;
}

std::string_view quantityUnitName(QuantityUnit unit) {
    for (const UnitWord& word : unit_words) {
        if (word.unit == unit) return word.name;
    }
    throw std::logic_error("a unit is missing in the table of units");
}

PartKind parsePartKind(std::string_view text) {
    std::string allowed;
    for (const PartKindRule& rule : allPartKinds()) {
        if (rule.name == text) return rule.kind;
        allowed += (allowed.empty() ? "" : ", ") + std::string(rule.name);
    }
    throw InputError(inQuotes(text) + " is no kind of part: write one of " + allowed);
}

Condition parseCondition(std::string_view text) {
    for (const ConditionWord& word : condition_words) {
        if (word.name == text) return word.condition;
    }
    throw InputError(inQuotes(text) + " is no condition: write new or used");
}

QuantityUnit parseQuantityUnit(std::string_view text) {
    for (const UnitWord& word : unit_words) {
        if (word.name == text) return word.unit;
    }
    throw InputError(inQuotes(text) + " is no unit: write piece, mm or ml");
}

std::vector<SpokenSize> spokenSizes(const Part& part) {
    std::vector<SpokenSize> sizes;
    const auto add = [&](const SizeField& field) {
        if (const std::optional<Length>& size = part.*field.member) sizes.push_back({&field, *size});
    };
    const PartKindRule& rule = partKindRule(part.kind);
    if (rule.needs_od_or_id) {
        add(*od);
        add(*id);
    }
    for (const SizeField* field : rule.needs) add(*field);
    if (rule.takes_any_size) {
        for (const SizeField& field : size_fields) add(field);
    }
    return sizes;
}

std::string partSizeText(const Part& part) {
    std::string text;
    for (const SpokenSize& size : spokenSizes(part)) {
        text += (text.empty() ? "" : " x ") + spoken(*size.field, size.size, part.kind);
    }
    return text;
}

std::string partText(const Part& part) {
    const std::string sizes = partSizeText(part);
    if (sizes.empty()) return part.description.empty() ? part.code : part.description;
    if (part.kind == PartKind::other) return part.description + " " + sizes;
    return std::string(partKindRule(part.kind).noun) + " " + sizes;
}

void checkPart(const Part& part) {
    checkCode(part.code, "part code", "part");
    const std::string who = "part " + inQuotes(part.code);
    checkSizes(part, partKindRule(part.kind), who);
    checkTexts(part);
    if ((part.kind == PartKind::fluid) != (part.unit == QuantityUnit::millilitre)) {
        throw FieldError("unit", who + " is counted in " + std::string(quantityUnitName(part.unit)) +
                                     ": fluids, and only fluids, are counted in ml");
    }
    if (part.reorder_point && *part.reorder_point < 0) {
        throw FieldError("reorder_point", who + " has a reorder point below 0");
    }
    if (part.shelf_life_months && *part.shelf_life_months < 1) {
        throw FieldError("shelf_life_months", who + " has a shelf life below 1 month");
    }
}

} // namespace shimledger::inventory
