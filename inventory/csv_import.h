// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/csv_reader.h"
#include "inventory/inventory_error.h"
#include "inventory/shop_file.h"

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace shimledger::inventory {

/// One thing wrong with one line of a CSV file.
struct ImportProblem {
    std::string file;        ///< "stock.csv"
    std::int64_t line = 0;   ///< 1 is the header; 0: the file as a whole
    int column_number = 0;   ///< 1-based; 0: the line as a whole
    std::string column_name; ///< "thickness_mm"; empty where the line as a whole is meant
    std::string reason;      ///< what is wrong, and what would be right

    /// "stock.csv, line 7, column 4 (thickness_mm): ..."
    [[nodiscard]] std::string text() const;
};

/// What one file brings.
struct ImportedFile {
    std::string file;
    std::string what;      ///< "parts", "bins", "opening stock lines", ...
    std::int64_t rows = 0; ///< lines of data, the header not counted
};

/// What an import does to the stock of one part, all drawers together.
struct ImportedStock {
    std::string part;
    std::int64_t before = 0; ///< on hand
    std::int64_t after = 0;
};

struct ImportReport {
    std::vector<ImportedFile> files;     ///< in the order in which they were read
    std::vector<std::string> ignored;    ///< *.csv files of the folder that are no table of a shop
    std::vector<ImportProblem> problems; ///< of all files, in order; at most 10 000 are kept ...
    std::int64_t problem_count = 0;      ///< ... but all are counted
    std::int64_t unread_count = 0; ///< lines not looked at, as they name a code whose own line has a problem
    std::int64_t movements = 0;    ///< ledger lines that the import posts (opening stock and history)
    std::vector<ImportedStock> stock; ///< parts whose stock changes, by code; empty while there are problems

    [[nodiscard]] bool good() const { return problem_count == 0; }
};

/// "2 problems; 836 further lines name what those lines should have brought, and were not looked at."
[[nodiscard]] std::string problemCountText(const ImportReport& report);

/// Raised by the import when any line is bad; nothing of any file was imported. what() begins with the number
/// of problems and names the first ones; report() has them all.
class ImportRefused : public InputError {
public:
    explicit ImportRefused(ImportReport report);
    [[nodiscard]] const ImportReport& report() const { return m_report; }

private:
    ImportReport m_report;
};

/// One table to import: a CSV file in the exchange format, or rows that were read elsewhere, from a sheet as
/// a person wrote it, and put into that format.
struct TableInput {
    std::string table;                  ///< "stock.csv"
    std::filesystem::path file{};       ///< else the rows
    std::string name{};                 ///< of the rows' source, for problems
    std::vector<std::string> columns{}; ///< column names of the table
    std::vector<CsvRecord> rows{};      ///< with the lines that they had; as many cells as columns
};

/// What the exchange format knows.
struct ExchangeTable {
    std::string file; ///< "stock.csv"
    std::vector<std::string> columns;
    std::vector<bool> needed; ///< of each column
};
[[nodiscard]] std::vector<ExchangeTable> exchangeTables();

/// Imports the tables in the order that they need, whatever order they are given in: all of them, or nothing
/// (ImportRefused). A table may be given several times.
ImportReport importInputs(ShopFile& shop, const std::vector<TableInput>& tables);
/// Says what the import would do, and changes nothing.
[[nodiscard]] ImportReport previewInputs(ShopFile& shop, const std::vector<TableInput>& tables);

/// Reads the CSV files of a folder (those of seed_catalog/README.md that are there, in that order) into the
/// shop file: all of them, or nothing (ImportRefused). Unknown columns are refused, unknown files passed over
/// and listed. Opening stock and history go through the ledger's rules. Memory does not grow with the length
/// of the files.
ImportReport importShopFolder(ShopFile& shop, const std::filesystem::path& folder);
/// The same for one file; its name says what it holds ("stock.csv").
ImportReport importFile(ShopFile& shop, const std::filesystem::path& file);

/// Says what the import would do, with every problem it would meet, and changes nothing.
[[nodiscard]] ImportReport previewShopFolder(ShopFile& shop, const std::filesystem::path& folder);
[[nodiscard]] ImportReport previewFile(ShopFile& shop, const std::filesystem::path& file);

} // namespace shimledger::inventory
