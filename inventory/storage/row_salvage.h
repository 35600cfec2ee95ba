// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/storage/sqlite/sqlite_connection.h"

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace shimledger::inventory {

/// What became of one table of a damaged file.
struct SalvagedTable {
    std::string table; ///< empty: of the file's structure, where rows may have gone without a word
    std::int64_t rows = 0;
    std::vector<std::string> lost; ///< one sentence each, at most 20 and one that counts the rest
    std::int64_t lost_rows = 0;    ///< as far as their numbers are known
};

/// Copies every row that can still be read of a damaged database into `fresh`, an empty shop file of the same
/// schema that nobody has open: a row that cannot be read, that breaks a check of its table, or that holds a
/// moment, a day or a text that is none, is left out and named. What a lost row was referred to by (a part, a
/// bin, a job ...) gets a row in its place with a code like "lost-part-17", so that the others stay whole.
/// The balances come as they are, the checksums of batches are left out. The damaged file is only read, also
/// where it is shorter than its header says.
[[nodiscard]] std::vector<SalvagedTable> salvageRows(const std::filesystem::path& damaged,
                                                     const std::filesystem::path& fresh);

/// What is wrong with the values of a row that no check of the schema knows: "utc is no moment". Empty where
/// nothing is. Looks at all tables of a readable file; one sentence a row, at most `most`.
[[nodiscard]] std::vector<std::string> unreadableValues(SqliteConnection& connection, std::size_t most);

} // namespace shimledger::inventory
