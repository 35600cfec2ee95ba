// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/database_reader.h"

#include "inventory/inventory_error.h"

#include <sqlite3.h>

#include <algorithm>
#include <limits>

namespace shimledger::inventory {

DatabaseReader::DatabaseReader(const std::filesystem::path& path) : m_path(path) {
    sqlite3_initialize();
    sqlite3_vfs* files = sqlite3_vfs_find(nullptr);
    if (files == nullptr) throw std::bad_alloc();
    // The file layer opens no symbolic link; it says where one leads, as for a database.
    std::string full(static_cast<std::size_t>(files->mxPathname) + 1, '\0');
    const int named = files->xFullPathname(files, path.c_str(), static_cast<int>(full.size()), full.data());
    if ((named & 0xff) != SQLITE_OK) full = std::filesystem::absolute(path).string();
    // Names of databases carry a tail that SQLite's file layer may look at.
    m_name = sqlite3_create_filename(full.c_str(), "", "", 0, nullptr);
    if (m_name == nullptr) throw std::bad_alloc();
    const auto bytes = static_cast<std::size_t>(files->szOsFile);
    m_place.resize(bytes / sizeof(std::max_align_t) + 1);
    m_file = reinterpret_cast<sqlite3_file*>(m_place.data()); // NOLINT: SQLite asks for raw room
    m_file->pMethods = nullptr;
    const int result =
        files->xOpen(files, m_name, m_file, SQLITE_OPEN_READONLY | SQLITE_OPEN_MAIN_DB, nullptr);
    if (result == SQLITE_OK) return;
    if (m_file->pMethods != nullptr) m_file->pMethods->xClose(m_file);
    sqlite3_free_filename(const_cast<char*>(m_name)); // NOLINT: as its documentation wants it
    throw ShopFileFault("the file " + path.string() + " may not be read by this user");
}

DatabaseReader::~DatabaseReader() {
    m_file->pMethods->xClose(m_file);
    sqlite3_free_filename(const_cast<char*>(m_name)); // NOLINT: as its documentation wants it
}

std::uint64_t DatabaseReader::size() const {
    sqlite3_int64 bytes = 0;
    if (m_file->pMethods->xFileSize(m_file, &bytes) != SQLITE_OK)
        throw ShopFileFault("the disk does not say how large " + m_path.string() + " is");
    return static_cast<std::uint64_t>(bytes);
}

std::size_t DatabaseReader::read(std::uint64_t offset, char* bytes, std::size_t count) const {
    const std::uint64_t end = size();
    if (offset >= end) return 0;
    count = static_cast<std::size_t>(std::min<std::uint64_t>(
        {count, end - offset, static_cast<std::uint64_t>(std::numeric_limits<int>::max())}));
    const int result =
        m_file->pMethods->xRead(m_file, bytes, static_cast<int>(count), static_cast<sqlite3_int64>(offset));
    if (result != SQLITE_OK) throw ShopFileFault("the disk does not give back the file " + m_path.string());
    return count;
}

} // namespace shimledger::inventory
