// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/calendar.h"
#include "inventory/storage/shared_file_lock.h"

#include <SQLiteCpp/Database.h>
#include <SQLiteCpp/Statement.h>

#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <unordered_map>

namespace SQLite {
class Exception;
}

namespace shimledger::inventory {

enum class Access { readWrite, readOnly };

/// One SQLite connection with its prepared statements and its place in a transaction. Opening and its checks
/// are in open_shop_file.h; statements are run through Query, transactions through the guards of
/// transaction.h.
class ShopConnection {
public:
    ShopConnection(std::filesystem::path path, Access access, WallClock clock);
    ~ShopConnection();
    ShopConnection(const ShopConnection&) = delete;
    ShopConnection& operator=(const ShopConnection&) = delete;

    [[nodiscard]] const std::filesystem::path& path() const { return m_path; }
    [[nodiscard]] Access access() const { return m_access; }
    [[nodiscard]] const WallClock& clock() const { return m_clock; }
    [[nodiscard]] SQLite::Database& database() { return m_database; }
    [[nodiscard]] bool inTransaction() const; ///< as SQLite sees it: it ends one by itself after some faults

    int write_depth = 0;        ///< kept by WriteTransaction
    bool reading_state = false; ///< kept by ReadTransaction

    /// Keeps the file's log from being deleted by other programs while this connection lives; from the moment
    /// the file is in WAL mode.
    void holdFile() { m_lock.take(m_path); }
    /// And its index from being cut short; once something has been read.
    void holdIndex() { m_lock.takeIndex(); }

    /// Lends a prepared statement; a second lending of the same text while the first is out makes another.
    [[nodiscard]] std::unique_ptr<SQLite::Statement> borrow(std::string_view sql);
    void giveBack(std::string_view sql, std::unique_ptr<SQLite::Statement> statement) noexcept;

    /// Runs SQL that returns no rows and takes no values (transaction control, schema).
    void execute(const std::string& sql);

private:
    struct TextHash {
        using is_transparent = void;
        std::size_t operator()(std::string_view text) const { return std::hash<std::string_view>{}(text); }
    };
    std::filesystem::path m_path;
    Access m_access;
    WallClock m_clock;
    SharedFileLock m_lock; // before the database, so that it outlives it
    SQLite::Database m_database;
    std::unordered_map<std::string, std::unique_ptr<SQLite::Statement>, TextHash, std::equal_to<>>
        m_statements;
};

/// The name by which SQLite opens a file for reading alone. Where nothing can be written beside it and there
/// is no log, SQLite is told that the file cannot change, as it could not keep its index of a log there.
[[nodiscard]] std::string readOnlyUri(const std::filesystem::path& path);

/// Turns an error of SQLite into one of ours with a sentence for people: ShopFileFault for faults of file,
/// disk or lock; std::logic_error for what our own rules should have caught before.
[[noreturn]] void throwTranslated(const SQLite::Exception& error, const std::filesystem::path& path);

} // namespace shimledger::inventory
