// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/sheet_import/raw_sheet.h"
#include "app/services/sheets/zip_archive.h"

#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// The widest sheet that is read, as of delimited text (inventory/csv_reader.h).
inline constexpr std::size_t most_columns = 200;

[[nodiscard]] std::vector<RawSheet> readXlsx(const ZipArchive& archive, const std::string& name);
[[nodiscard]] std::vector<RawSheet> readOds(const ZipArchive& archive, const std::string& name);

/// A number of a workbook without the noise of binary fractions: 0.30000000000000004 is "0.3". The text as
/// it is where it is no number.
[[nodiscard]] std::string plainNumber(std::string_view text);

/// A cell that is merged over several lines stands in each of them, marked as covered.
struct MergedCells {
    std::size_t first_column = 0, last_column = 0;
    std::int64_t first_line = 0, last_line = 0;
};
void spreadMerged(RawSheet& sheet, const std::vector<MergedCells>& merged);

/// Cells at the end that hold nothing go, and rows without a cell.
void dropEmpty(RawSheet& sheet);

} // namespace shimledger::services
