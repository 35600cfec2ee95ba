// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <sqlite3.h>

#include <cstdint>
#include <filesystem>
#include <stdexcept>
#include <string>

namespace shimledger {

/// SQLite without a layer above it: what the ledger is measured against.
class PlainStatement {
public:
    PlainStatement(sqlite3* database, const char* sql) : m_database(database) {
        check(sqlite3_prepare_v3(database, sql, -1, SQLITE_PREPARE_PERSISTENT, &m_statement, nullptr));
    }
    ~PlainStatement() { sqlite3_finalize(m_statement); }
    PlainStatement(const PlainStatement&) = delete;
    PlainStatement& operator=(const PlainStatement&) = delete;

    PlainStatement& bind(int index, std::int64_t value) {
        check(sqlite3_bind_int64(m_statement, index, value));
        return *this;
    }
    PlainStatement& bind(int index, const std::string& value) {
        check(sqlite3_bind_text(m_statement, index, value.data(), static_cast<int>(value.size()),
                                SQLITE_TRANSIENT));
        return *this;
    }
    bool next() {
        const int result = sqlite3_step(m_statement);
        if (result == SQLITE_ROW) return true;
        sqlite3_reset(m_statement);
        if (result != SQLITE_DONE) check(result);
        return false;
    }
    void run() {
        while (next()) continue;
    }
    void reset() { sqlite3_reset(m_statement); }
    [[nodiscard]] std::int64_t integer(int column) const { return sqlite3_column_int64(m_statement, column); }
    [[nodiscard]] std::string text(int column) const {
        const auto* bytes = reinterpret_cast<const char*>(sqlite3_column_text(m_statement, column));
        return bytes == nullptr ? std::string() : std::string(bytes);
    }

private:
    void check(int result) const {
        if (result != SQLITE_OK) throw std::runtime_error(sqlite3_errmsg(m_database));
    }
    sqlite3* m_database;
    sqlite3_stmt* m_statement = nullptr;
};

/// Opened with the same durability and cache as a shop file.
class PlainDatabase {
public:
    explicit PlainDatabase(const std::filesystem::path& path) {
        if (sqlite3_open_v2(path.c_str(), &m_handle, SQLITE_OPEN_READWRITE, nullptr) != SQLITE_OK) {
            throw std::runtime_error("cannot open " + path.string());
        }
        for (const char* pragma :
             {"PRAGMA foreign_keys = ON", "PRAGMA cell_size_check = ON", "PRAGMA cache_size = -65536",
              "PRAGMA journal_mode = WAL", "PRAGMA synchronous = FULL"}) {
            run(pragma);
        }
    }
    ~PlainDatabase() { sqlite3_close(m_handle); }
    PlainDatabase(const PlainDatabase&) = delete;
    PlainDatabase& operator=(const PlainDatabase&) = delete;

    void run(const char* sql) {
        if (sqlite3_exec(m_handle, sql, nullptr, nullptr, nullptr) != SQLITE_OK) {
            throw std::runtime_error(sqlite3_errmsg(m_handle));
        }
    }
    [[nodiscard]] sqlite3* handle() const { return m_handle; }

private:
    sqlite3* m_handle = nullptr;
};

} // namespace shimledger
