// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/sheet_import/sheet_layout.h"

#include "inventory/csv_import.h"
#include "inventory/shop_file.h"

#include <cstdint>
#include <string>
#include <utility>
#include <vector>

namespace shimledger::services {

/// What a sheet was taken for, and what it brings.
struct UnderstoodSheet {
    std::string name; ///< "stock.xlsx, sheet 'Drawers'"
    std::string what; ///< "a sheet of parts, drawers and counts", "the table parts.csv"
    SheetLayout layout{};
    std::vector<std::string> notes{};                          ///< sentences
    std::vector<std::pair<std::int64_t, std::string>> lines{}; ///< what each line does
    std::vector<inventory::TableInput> tables{};
    std::vector<inventory::ImportProblem> problems{};
};

/// Parts, drawers, counts, and, where it says them, suppliers and prices, from one flat sheet as a person
/// writes it. What the shop does not have yet is made: parts by their sizes, drawers in the order of their
/// codes. Reads the shop, changes nothing.
[[nodiscard]] UnderstoodSheet understandFlatSheet(inventory::ShopFile& shop, const RawSheet& sheet,
                                                  const std::string& name, const SheetAnswers& answers);

/// A sheet that holds a table of the exchange format in another dialect: other delimiters, decimal signs,
/// order and case of columns. Nothing where a column that the table needs is missing.
[[nodiscard]] std::optional<UnderstoodSheet> understandTable(const RawSheet& sheet, const std::string& name,
                                                             const inventory::ExchangeTable& table,
                                                             const SheetAnswers& answers);

/// Lines that are no data: a row of totals, headings once more, a note below the table.
enum class LineKind { data, blank, headings_again, total, other };
[[nodiscard]] LineKind lineKind(const RawSheet& sheet, const SheetLayout& layout, const RawRow& row);
/// The line's texts, for a sentence.
[[nodiscard]] std::string lineText(const RawRow& row);
/// More cells than headings, in delimited text: a decimal comma that parts what belongs together, as a rule.
[[nodiscard]] bool tooWide(const RawSheet& sheet, const SheetLayout& layout, const RawRow& row);
inline constexpr const char* too_wide_text =
    "the line has more cells than there are headings: has a comma of decimals parted a number? Put such "
    "numbers in quotes, or save the sheet with semicolons";

} // namespace shimledger::services
