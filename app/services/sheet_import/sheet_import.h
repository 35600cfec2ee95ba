// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/sheet_import/understood_sheet.h"

#include "inventory/csv_import.h"
#include "inventory/shop_file.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::services {

/// What an import of sheets did, or would do.
struct SheetImport {
    /// How each sheet was understood; none for files in the exchange format itself.
    std::vector<UnderstoodSheet> sheets;
    std::vector<std::string> passed_over;      ///< sentences: files and sheets that are none of the shop's
    std::vector<inventory::ImportReport> done; ///< what the ledger was given
    std::vector<inventory::ImportProblem> problems;
    std::int64_t problem_count = 0, unread_count = 0;

    [[nodiscard]] bool good() const { return problem_count == 0; }
};

/// Takes a file, or a folder of files, into the shop: in the exchange format, or as people write sheets (.csv
/// in any dialect, .xlsx, .ods). All of it or nothing: with problems nothing is kept. With `keep` false
/// nothing is kept in any case. A question that concerns a sheet as a whole is an InputError.
[[nodiscard]] SheetImport importSheets(inventory::ShopFile& shop, const std::filesystem::path& path,
                                       const SheetAnswers& answers, bool keep);

/// "column 2 'Dicke': thickness_mm", for each column.
[[nodiscard]] std::vector<std::string> columnSentences(const UnderstoodSheet& sheet);

} // namespace shimledger::services
