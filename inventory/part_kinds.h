// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/part.h"

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

/// One size of a part: its column name in CSV and database, what to call it, and where it sits in Part.
struct SizeField {
    std::string_view column; ///< "od_mm"
    std::string_view noun;   ///< "outer diameter"
    std::optional<Length> Part::*member;
};

/// Everything the program knows about a kind of part. Adding a kind means adding its enumerator and its
/// row in part_kinds.cpp; catalogue, importer, exporter and database read the table.
struct PartKindRule {
    PartKind kind;
    std::string_view name;               ///< in CSV and database: "oil_seal"
    std::string_view noun;               ///< for people: "oil seal"
    std::vector<const SizeField*> needs; ///< sizes it must have, in the order in which they are spoken
    bool needs_od_or_id = false;         ///< snap rings: one of the two, beside `needs`
    bool takes_any_size = false;         ///< else a size beyond those is refused as a slip of the column
};

[[nodiscard]] std::span<const SizeField> allSizeFields();
[[nodiscard]] std::span<const PartKindRule> allPartKinds();
[[nodiscard]] const PartKindRule& partKindRule(PartKind kind);

[[nodiscard]] std::string_view partKindName(PartKind kind);
[[nodiscard]] std::string_view conditionName(Condition condition);  ///< "new", "used"
[[nodiscard]] std::string_view quantityUnitName(QuantityUnit unit); ///< "piece", "mm", "ml"

/// The readers throw InputError with the words that are allowed.
[[nodiscard]] PartKind parsePartKind(std::string_view text);
[[nodiscard]] Condition parseCondition(std::string_view text);
[[nodiscard]] QuantityUnit parseQuantityUnit(std::string_view text);

/// The sizes that the part has, in the order in which its kind is spoken.
struct SpokenSize {
    const SizeField* field;
    Length size;
};
[[nodiscard]] std::vector<SpokenSize> spokenSizes(const Part& part);

/// The sizes as people say them, mm: "24.0 x 6.0 x 0.10" for a shim (OD x ID x thickness), ID x OD x height
/// for a seal; "" if it has none.
[[nodiscard]] std::string partSizeText(const Part& part);
/// "shim 24.0 x 6.0 x 0.10", "oil seal 35.0 x 48.0 x 11.0"; a part without sizes by its description.
[[nodiscard]] std::string partText(const Part& part);

/// Throws InputError, naming the part, the field and the rule: bad code, missing or non-positive size,
/// ID not below OD, negative reorder point, a fluid not counted in ml.
void checkPart(const Part& part);

} // namespace shimledger::inventory
