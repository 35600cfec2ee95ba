// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

struct sqlite3_file;

namespace shimledger::inventory {

/// Reads the bytes of a regular file, which may be a database that this process has open. SQLite's file layer
/// opens and closes it: it knows the locks of the process and keeps the file open behind the scenes while any
/// is held, where a close() by anybody else would drop them all. Throws ShopFileFault when the file may not
/// be read.
class DatabaseReader {
public:
    explicit DatabaseReader(const std::filesystem::path& path);
    ~DatabaseReader();
    DatabaseReader(const DatabaseReader&) = delete;
    DatabaseReader& operator=(const DatabaseReader&) = delete;

    [[nodiscard]] std::uint64_t size() const;
    /// Reads up to `count` bytes; returns how many there were.
    [[nodiscard]] std::size_t read(std::uint64_t offset, char* bytes, std::size_t count) const;

private:
    std::filesystem::path m_path;
    const char* m_name;                    // in the form that SQLite wants
    std::vector<std::max_align_t> m_place; // SQLite's own object lives here
    sqlite3_file* m_file;
};

} // namespace shimledger::inventory
