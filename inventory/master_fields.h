// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/bin.h"
#include "inventory/component_model.h"
#include "inventory/master_changes.h"
#include "inventory/model_flow.h"
#include "inventory/part.h"
#include "inventory/recipe.h"
#include "inventory/reorder_class.h"
#include "inventory/supplier.h"

#include <cstdint>
#include <span>
#include <string>
#include <string_view>

namespace shimledger::inventory {

/// What a field holds; a text of it is as the CSV files write it.
enum class FieldContent { text, word, millimetres, decimal, whole, money, day, yesNo };

/// Throws InputError for any other word.
[[nodiscard]] bool parseYesNo(std::string_view text);

/// One thing that a shop says of a part, a bin ...: declared once. What is kept of a change, the options of
/// verbs, the fields of JSON and the words of history follow from the tables below.
template <class Thing>
struct MasterField {
    std::string_view name; ///< column of the CSV files: "reorder_point"
    std::string_view noun; ///< in sentences: "reorder point"
    std::string_view help; ///< what may stand there
    FieldContent content = FieldContent::text;
    std::string (*text)(const Thing&) = nullptr; ///< "" where nothing stands there
    /// Takes it from such a text; use setField.
    void (*read)(Thing&, const std::string&) = nullptr;
    bool needed = false; ///< may not be empty
    std::int64_t least = 0;
    std::int64_t greatest = 1'000'000'000; ///< of whole numbers; of decimals thousandths, of lengths um
};

/// By Part, Bin, Supplier, SupplierPart, ComponentModel, ModelFlow, ReorderClass and Recipe; without the
/// codes that name them. `retired` is the last one where there is one.
template <class Thing>
[[nodiscard]] std::span<const MasterField<Thing>> fieldsOf();

/// Puts what somebody typed into its field, "" empties it. Throws InputError that names the field and says
/// what would be right; rules of the thing as a whole are looked at when it is added or updated.
template <class Thing>
void setField(Thing& thing, const MasterField<Thing>& field, const std::string& text);

/// What sentences on a field need, also of what a thing has several of: "price break", "wear part", "valve".
struct FieldWords {
    std::string_view noun; ///< "reorder point"
    FieldContent content = FieldContent::text;
};
/// Throws InputError for a field that the kind has not.
[[nodiscard]] FieldWords fieldWords(MasterKind kind, std::string_view field);

/// Names of those, as changes write them.
inline constexpr std::string_view price_break_field = "price_break";
inline constexpr std::string_view wear_part_field = "wear_part";
inline constexpr std::string_view valve_field = "valve";

} // namespace shimledger::inventory
