// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// What the cells of a column hold.
enum class FieldContent { text, length, decimal, whole, money, date, moment, kind, condition, size };

/// A field that a column of a sheet can be, by the name of the column of the exchange format where it has
/// one, and the headings under which people write it.
struct SheetField {
    std::string_view name;
    FieldContent content;
    std::string_view headings;  ///< as headingWords gives them, parted by '|'; the name itself goes without
    bool in_flat_sheets = true; ///< else of other tables of the exchange format alone
};

[[nodiscard]] std::span<const SheetField> sheetFields();
/// Null where there is none of that name.
[[nodiscard]] const SheetField* sheetField(std::string_view name);

/// A heading in small letters, without accents, marks and units: "Außen-Ø [mm]" and "OD (mm)" become words.
struct HeadingWords {
    std::string words;
    std::string unit; ///< "mm", "in", "um", "cm" or ""
};
[[nodiscard]] HeadingWords headingWords(std::string_view heading);
/// Of a cell that holds a unit and nothing else: "[mm]"; "" for pieces, nothing where it holds something
/// else.
[[nodiscard]] std::optional<std::string> unitOfCell(std::string_view cell);

/// The field that a heading names; null where it names none.
[[nodiscard]] const SheetField* fieldOfHeading(std::string_view words);
/// The field whose heading is nearly this one, as slips of the finger go; null where none is.
[[nodiscard]] const SheetField* fieldNearHeading(std::string_view words);

/// Words of kinds and conditions as people write them, as the exchange format has them; nothing where the
/// text is none.
[[nodiscard]] std::optional<std::string> kindOfWord(std::string_view text);
[[nodiscard]] std::optional<std::string> conditionOfWord(std::string_view text);
/// "total", "sum", "Summe" and the like begin the text.
[[nodiscard]] bool isTotalWord(std::string_view text);

} // namespace shimledger::services
