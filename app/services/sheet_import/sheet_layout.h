// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/sheet_import/raw_sheet.h"
#include "app/services/sheet_import/sheet_fields.h"
#include "app/services/sheet_import/written_number.h"

#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace shimledger::services {

/// What a person says about a sheet where the sheet itself does not.
struct SheetAnswers {
    /// Heading, or "#3" for the third column, and the field that it is; "ignore" for one that is not read.
    std::vector<std::pair<std::string, std::string>> columns{};
    /// A field and its value in every line that has none: {"id_mm", "6"}.
    std::vector<std::pair<std::string, std::string>> values{};
    DecimalSign decimal = DecimalSign::unknown;
    std::string unit{};           ///< "mm" or "in" where no heading or cell says it
    bool sizes_are_meant = false; ///< implausible sizes and readings are what they should be
    std::string sheet{};          ///< only this one of a workbook
};

/// "heading=field" of an option; throws InputError for a field that there is not.
[[nodiscard]] std::pair<std::string, std::string> columnAnswer(const std::string& text);
/// "field=value".
[[nodiscard]] std::pair<std::string, std::string> valueAnswer(const std::string& text);

/// One column of a sheet and how it was understood.
struct SheetColumn {
    std::size_t place = 0;
    std::string heading;
    const SheetField* field = nullptr; ///< null: not read
    std::string unit{};                ///< that its heading says
    std::string how{};                 ///< why, where it is not the heading: "by its content"
};

struct SheetLayout {
    std::vector<SheetColumn> columns; ///< those with a heading, in their order
    std::size_t first_row = 0;        ///< of the data, in RawSheet::rows
    std::int64_t heading_line = 0;
    std::size_t width = 0;          ///< cells of the heading's row
    std::string unit{};             ///< that a title says
    std::vector<std::string> above; ///< texts above the headings

    [[nodiscard]] const SheetColumn* column(std::string_view field) const;
    [[nodiscard]] bool has(std::string_view field) const { return column(field) != nullptr; }
};

/// Finds the headings: the row that names most fields among the first ones. Nothing where none names two, or,
/// where a person says which column is what, one. Throws InputError, a question, for a heading that may be a
/// slip of one that matters, and for two columns of one field.
[[nodiscard]] std::optional<SheetLayout> layoutOf(const RawSheet& sheet, const std::string& name,
                                                  const SheetAnswers& answers,
                                                  const std::vector<std::string>& only_fields = {});

} // namespace shimledger::services
