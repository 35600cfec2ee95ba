// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace shimledger::services {

/// One cell as a file holds it, before anything is made of it.
struct RawCell {
    std::string text;     ///< UTF-8; a number of a workbook with a decimal point
    bool number = false;  ///< a workbook says that it is one: its decimal point is sure
    bool date = false;    ///< `text` is a day, YYYY-MM-DD, which a workbook says
    bool covered = false; ///< the copy of a cell that is merged over several lines
    std::string fault{};  ///< why it has no value: a formula that was never computed
};

struct RawRow {
    std::int64_t line = 0; ///< 1-based, as the file counts
    std::vector<RawCell> cells;
};

/// A sheet of a workbook, or a whole file of delimited text.
struct RawSheet {
    std::string name{}; ///< of the sheet; empty for a file of text
    std::vector<RawRow> rows{};
    char delimiter = 0; ///< of delimited text; 0: a workbook
};

/// Reads .csv, .tsv, .txt, .xlsx and .ods, whatever the file is called: a workbook is known by its bytes.
/// Text may be UTF-8, UTF-16 or Windows-1252, its columns parted by commas, semicolons, tabs or bars. Hidden
/// sheets of a workbook and sheets without a cell are left out. Throws InputError, which names the file.
[[nodiscard]] std::vector<RawSheet> readRawSheets(const std::filesystem::path& file);

/// The text of the bytes as UTF-8: they are UTF-8, UTF-16 or Windows-1252.
[[nodiscard]] std::string utf8Of(const std::string& bytes);

/// The rows of delimited text. `delimiter` 0: found out.
[[nodiscard]] RawSheet readDelimitedText(const std::string& text, char delimiter = 0);

} // namespace shimledger::services
