// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <string>

namespace shimledger::inventory {

// The header of a SQLite 3 file, after https://www.sqlite.org/fileformat2.html
inline constexpr std::size_t file_header_size = 100;
inline constexpr std::size_t schema_number_at = 60; ///< SQLite's "user version", four bytes

/// The number of the schema that a whole header names, whether there is such a schema or not.
[[nodiscard]] std::int64_t schemaNumberIn(const std::string& header);

/// True if the header says that the file keeps a write-ahead log; false also where it cannot be read.
[[nodiscard]] bool isInWalMode(const std::filesystem::path& path);

/// Reads the first bytes of the file itself, so that a foreign file is turned down before SQLite can touch
/// it. Throws InputError unless it is a shop file (SQLite's magic, our application number) of a schema not
/// above `newest_schema`; ShopFileFault when it cannot be read. Returns the number of its schema.
std::int64_t checkFileHeader(const std::filesystem::path& path, int newest_schema);

} // namespace shimledger::inventory
