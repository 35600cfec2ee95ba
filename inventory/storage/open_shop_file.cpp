// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/open_shop_file.h"

#include "inventory/inventory_error.h"
#include "inventory/schema/schema_check.h"
#include "inventory/shop_file.h"
#include "inventory/storage/file_copy.h"
#include "inventory/storage/file_header.h"
#include "inventory/storage/query.h"

#include <SQLiteCpp/Exception.h>
#include <SQLiteCpp/Statement.h>
#include <sqlite3.h>

#include <cerrno>
#include <chrono>
#include <cstdio>
#include <cstring>
#include <string>
#include <system_error>
#include <thread>

namespace shimledger::inventory {

namespace {

// Looking through every page takes about half a second per 100 MB. Above this size it is left to verifyStock,
// so that a shop with many years of ledger still opens at once.
constexpr std::uintmax_t largest_fully_checked_bytes = std::uintmax_t{64} << 20U;

void setAndCheck(SqliteConnection& connection, const std::string& pragma, const std::string& value,
                 const std::string& expected) {
    // Not cached: these run once.
    SQLite::Statement set(connection.database(), "PRAGMA " + pragma + " = " + value);
    while (set.executeStep()) continue;
    SQLite::Statement get(connection.database(), "PRAGMA " + pragma);
    if (!get.executeStep() || get.getColumn(0).getString() != expected) {
        throw ShopFileFault("the shop file " + connection.path().string() + " cannot be opened safely (" +
                            pragma + " does not become " + expected + "): is it on a network drive?");
    }
}

// SQLite's own waiting looks ever more seldom, at last ten times a second: beside several busy writers that
// is too seldom to ever find the lock free. Looking about every two milliseconds, each at its own beat, lets
// everybody have a turn. At least 15 s in all.
constexpr int most_looks = 7'500;

int waitForTurn(void*, int looks) {
    if (looks >= most_looks) return 0;
    std::this_thread::sleep_for(std::chrono::microseconds(1'500 + 300 * (looks % 5)));
    return 1;
}

void configure(SqliteConnection& connection) {
    sqlite3* handle = connection.database().getHandle();
    sqlite3_busy_handler(handle, waitForTurn, nullptr);
    // Misspelt columns must not turn into text, and a crafted file must not run code or edit its own schema.
    sqlite3_db_config(handle, SQLITE_DBCONFIG_DQS_DML, 0, nullptr);
    sqlite3_db_config(handle, SQLITE_DBCONFIG_DQS_DDL, 0, nullptr);
    sqlite3_db_config(handle, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
    sqlite3_db_config(handle, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
    try {
        setAndCheck(connection, "foreign_keys", "ON", "1");
        setAndCheck(connection, "cell_size_check", "ON", "1");
        setAndCheck(connection, "cache_size", "-65536",
                    "-65536"); // 64 MiB at most: the ledger's indexes stay at hand
        if (connection.access() == Access::readOnly) return;
        setAndCheck(connection, "journal_mode", "WAL", "wal");
        setAndCheck(connection, "synchronous", "FULL", "2");
        connection.holdFile();
    } catch (const SQLite::Exception& error) {
        throwTranslated(error, connection.path());
    }
}

std::string whereBackupsAre(const std::filesystem::path& path) {
    std::error_code error;
    const std::filesystem::path folder = backupFolderOf(path);
    return std::filesystem::is_directory(folder, error) ? " (" + folder.string() + ")" : "";
}

void lookForDamage(SqliteConnection& connection, std::span<const Migration> migrations) {
    std::error_code error;
    const std::uintmax_t size = std::filesystem::file_size(connection.path(), error);
    if (error || size > largest_fully_checked_bytes) return;
    Query check(connection, "PRAGMA quick_check(1)");
    check.mustRow();
    std::string finding = check.text(0);
    if (finding == "ok") {
        const auto wrong = schemaDifferences(connection, migrations).wrong;
        if (wrong.empty()) return;
        finding = wrong.front() + " is not as this program made it";
    }
    throw ShopFileFault("the shop file " + connection.path().string() + " is damaged (" + finding +
                        "): go back to a backup" + whereBackupsAre(connection.path()));
}

void checkSchemaNumber(SqliteConnection& connection, int newest) {
    const int number = schemaNumber(connection);
    if (number > newest) {
        throw InputError(connection.path().string() +
                         " was written by a newer version of this program (schema " + std::to_string(number) +
                         ", this one knows up to " + std::to_string(newest) +
                         "); it was left as it is: use the newer version");
    }
    if (number < newest && connection.access() == Access::readOnly) {
        throw InputError(connection.path().string() + " is of an older version (schema " +
                         std::to_string(number) + "): open it once for writing, which brings it up to date");
    }
}

// The header may lie behind a write-ahead log that a newer program left when it crashed. A connection that
// only reads sees the log without writing it into the file.
void checkBehindLog(const std::filesystem::path& path, const WallClock& clock, int newest) {
    std::error_code error;
    const std::uintmax_t log_size = std::filesystem::file_size(path.string() + "-wal", error);
    if (error || log_size == 0) return;
    SqliteConnection probe(path, Access::readOnly, clock);
    if (schemaNumber(probe) > newest) checkSchemaNumber(probe, newest);
}

} // namespace

std::unique_ptr<SqliteConnection> openShopFile(const std::filesystem::path& path, Access access,
                                               WallClock clock, std::span<const Migration> migrations) {
    const int newest = migrations.back().number;
    checkFileHeader(path, newest);
    checkBehindLog(path, clock, newest);
    auto connection = std::make_unique<SqliteConnection>(path, access, std::move(clock));
    configure(*connection);
    lookForDamage(*connection, migrations);
    checkSchemaNumber(*connection, newest);
    if (access == Access::readWrite && schemaNumber(*connection) < newest) {
        copyBeforeMigration(*connection, migrations);
        migrate(*connection, migrations);
    }
    connection->holdIndex();
    return connection;
}

std::unique_ptr<SqliteConnection> openBackup(const std::filesystem::path& path, WallClock clock,
                                             std::span<const Migration> migrations) {
    checkFileHeader(path, migrations.back().number);
    auto connection = std::make_unique<SqliteConnection>(path, Access::readOnly, std::move(clock));
    configure(*connection);
    lookForDamage(*connection, migrations);
    connection->holdIndex();
    return connection;
}

std::unique_ptr<SqliteConnection> createShopFile(const std::filesystem::path& path, WallClock clock,
                                                 std::span<const Migration> migrations) {
    // 'x': the system makes the file only where none is, even if two programs ask at once.
    std::FILE* file = std::fopen(path.c_str(), "wxb");
    if (file == nullptr) {
        if (errno == EEXIST) {
            throw InputError(path.string() +
                             " exists already: a new shop file needs a path where nothing is yet");
        }
        throw ShopFileFault("the shop file " + path.string() + " cannot be made: " + std::strerror(errno));
    }
    std::fclose(file);
    try {
        auto connection = std::make_unique<SqliteConnection>(path, Access::readWrite, std::move(clock));
        configure(*connection);
        migrate(*connection, migrations);
        connection->holdIndex();
        return connection;
    } catch (...) {
        removeShopFile(path);
        throw;
    }
}

} // namespace shimledger::inventory
