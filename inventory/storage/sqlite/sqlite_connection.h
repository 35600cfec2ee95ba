// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/storage/shared_file_lock.h"
#include "inventory/storage/shop_connection.h"

#include <SQLiteCpp/Database.h>

namespace SQLite {
class Exception;
}

namespace shimledger::inventory {

/// A shop file, by SQLite. Opening and its checks are in open_shop_file.h.
class SqliteConnection final : public ShopConnection {
public:
    SqliteConnection(std::filesystem::path path, Access access, WallClock clock);
    ~SqliteConnection() override;
    SqliteConnection(const SqliteConnection&) = delete;
    SqliteConnection& operator=(const SqliteConnection&) = delete;

    [[nodiscard]] SQLite::Database& database() { return m_database; }

    /// Keeps the file's log from being deleted by other programs while this connection lives; from the moment
    /// the file is in WAL mode.
    void holdFile() { m_lock.take(path()); }
    /// And its index from being cut short; once something has been read.
    void holdIndex() { m_lock.takeIndex(); }

    void execute(const std::string& sql) override;
    [[nodiscard]] bool inTransaction() const override;
    void beginWriting() override;
    void beginReading() override { execute("BEGIN"); }
    void commit() override { execute("COMMIT"); }
    void rollBack() noexcept override;
    void rollBackTo(const std::string& savepoint) noexcept override;

    [[nodiscard]] int schemaNumber() override; ///< PRAGMA user_version
    void setSchemaNumber(int number) override;
    void define(const std::string& statement) override { execute(statement); }
    [[nodiscard]] std::vector<std::string> brokenReferences(std::size_t most) override;
    void settle() override;

private:
    [[nodiscard]] std::unique_ptr<PreparedStatement> prepare(std::string_view sql) override;

    SharedFileLock m_lock; // before the database, so that it outlives it
    SQLite::Database m_database;
};

/// The file behind a connection; none where it is a server.
[[nodiscard]] SqliteConnection* asFile(ShopConnection& connection);
/// The same, where it must be one.
[[nodiscard]] SqliteConnection& fileBehind(ShopConnection& connection);

/// The name by which SQLite opens a file for reading alone. Where nothing can be written beside it and there
/// is no log, SQLite is told that the file cannot change, as it could not keep its index of a log there.
[[nodiscard]] std::string readOnlyUri(const std::filesystem::path& path);

/// Turns an error of SQLite into one of ours.
[[noreturn]] void throwTranslated(const SQLite::Exception& error, const std::filesystem::path& path);

} // namespace shimledger::inventory
