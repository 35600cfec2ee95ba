// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/sheet_import/sheet_layout.h"

#include "inventory/csv_import.h"

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// The cells of one sheet, read as what their columns hold. What cannot be read becomes a problem, which
/// names line, column and what would be right, and reads as nothing. Whether the comma or the point is the
/// sign of decimals is told by the numbers themselves: of the column, then of the sheet, then by what sizes
/// there are; where both would do it is a problem, never a guess.
class SheetCells {
public:
    SheetCells(const RawSheet& sheet, const SheetLayout& layout, const SheetAnswers& answers,
               std::string name);

    void at(const RawRow& row) { m_row = &row; }
    [[nodiscard]] const RawCell& raw(std::string_view field) const; ///< an empty one where there is none
    [[nodiscard]] bool filled(std::string_view field) const;
    [[nodiscard]] std::string text(std::string_view field);     ///< trimmed; the answers' value where empty
    [[nodiscard]] std::string verbatim(std::string_view field); ///< as it is
    [[nodiscard]] std::optional<Length> length(std::string_view field);
    [[nodiscard]] std::optional<std::string> whole(std::string_view field);
    [[nodiscard]] std::optional<std::string> decimal(std::string_view field);
    [[nodiscard]] std::optional<std::string> money(std::string_view field);
    [[nodiscard]] std::optional<std::string> date(std::string_view field);
    [[nodiscard]] std::optional<std::string> condition(std::string_view field);
    [[nodiscard]] std::optional<std::string> kind(std::string_view field);
    /// The lengths of a size in one cell, and the kind that stands before them.
    struct Size {
        std::string kind;
        std::vector<Length> lengths;
    };
    [[nodiscard]] std::optional<Size> size();

    void problem(std::string_view field, const std::string& reason);
    [[nodiscard]] bool good() const { return m_good; } ///< since begin()
    void begin() { m_good = true; }

    std::vector<inventory::ImportProblem> problems{};
    std::int64_t rounded = 0; ///< sizes in inches that are no whole micrometres

    /// "comma", "point" or "": what the numbers of the sheet prove.
    [[nodiscard]] DecimalSign sign() const { return m_sheet_sign; }
    /// Thirds of the calendar, whichever way: true where days come before months in 3/4/2026.
    [[nodiscard]] std::optional<bool> dayFirst(std::string_view field) const;

private:
    /// A cell that holds a number, and the unit behind it.
    struct Written {
        std::string text; ///< as it stands there
        WrittenNumber number;
        std::string unit;
    };
    /// None where the cell is empty, or merged over several lines, which is told.
    [[nodiscard]] std::optional<Written> written(std::string_view field);
    [[nodiscard]] std::optional<std::string> digits(std::string_view field, const WrittenNumber& number,
                                                    const std::string& written,
                                                    const std::vector<bool>& possible);
    [[nodiscard]] std::optional<Length> lengthFrom(std::string_view field, const WrittenNumber& number,
                                                   const std::string& written, const std::string& unit);
    void learn(const RawSheet& sheet);

    const RawSheet& m_sheet;
    const SheetLayout& m_layout;
    const SheetAnswers& m_answers;
    std::string m_name;
    const RawRow* m_row = nullptr;
    bool m_good = true;
    std::map<std::string, DecimalSign, std::less<>> m_column_sign;
    DecimalSign m_sheet_sign = DecimalSign::unknown;
};

/// Problems of one kind as one sentence: the first one, and how many more lines have it. `problems` of one
/// file or of several.
[[nodiscard]] std::vector<std::string>
problemSentences(const std::vector<inventory::ImportProblem>& problems);

} // namespace shimledger::services
