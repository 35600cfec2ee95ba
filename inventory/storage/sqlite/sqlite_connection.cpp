// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/sqlite/sqlite_connection.h"

#include "inventory/drive_check.h"
#include "inventory/inventory_error.h"
#include "inventory/schema/schema_migrations.h"
#include "inventory/storage/file_header.h"
#include "inventory/storage/query.h"
#include "inventory/storage/sqlite/sqlite_statement.h"

#include <SQLiteCpp/Exception.h>
#include <sqlite3.h>

#include <cctype>
#include <new>
#include <stdexcept>
#include <system_error>

namespace shimledger::inventory {

namespace {

constexpr int longest_wait_ms = 15'000;

// On a medium where nothing can be written SQLite cannot keep its index of the log beside the file; where
// there is no log, the file is all there is and cannot change.
bool cannotChange(const std::filesystem::path& path) {
    if (mayBeWritten(path)) return false;
    std::error_code error;
    return !std::filesystem::exists(path.string() + "-wal", error);
}

} // namespace

std::string readOnlyUri(const std::filesystem::path& path) {
    std::string uri = "file:";
    for (const char c : std::filesystem::absolute(path).string()) {
        const auto byte = static_cast<unsigned char>(c);
        if (std::isalnum(byte) != 0 || c == '/' || c == '.' || c == '-' || c == '_') {
            uri += c;
        } else {
            constexpr std::string_view digits = "0123456789ABCDEF";
            uri += {'%', digits[byte >> 4U], digits[byte & 15U]};
        }
    }
    return uri + (cannotChange(path) ? "?mode=ro&immutable=1" : "?mode=ro");
}

namespace {

SQLite::Database openDatabase(const std::filesystem::path& path, Access access, SharedFileLock& lock) {
    const int flags = access == Access::readOnly ? SQLite::OPEN_READONLY : SQLite::OPEN_READWRITE;
    // Before SQLite looks at it: between its first look and a later lock another thread could take its lock
    // away.
    if (isInWalMode(path)) lock.take(path);
    try {
        const std::string name = access == Access::readOnly ? readOnlyUri(path) : path.string();
        return SQLite::Database(name, flags | (access == Access::readOnly ? SQLite::OPEN_URI : 0),
                                longest_wait_ms);
    } catch (const SQLite::Exception& error) {
        throwTranslated(error, path);
    }
}

} // namespace

SqliteConnection::SqliteConnection(std::filesystem::path path, Access access, WallClock clock)
    : ShopConnection(std::move(path), access, std::move(clock)),
      m_database(openDatabase(this->path(), access, m_lock)) {}

SqliteConnection::~SqliteConnection() {
    m_lock.release();
    dropStatements();
}

bool SqliteConnection::inTransaction() const {
    return sqlite3_get_autocommit(m_database.getHandle()) == 0;
}

std::unique_ptr<PreparedStatement> SqliteConnection::prepare(std::string_view sql) {
    try {
        return std::make_unique<SqliteStatement>(*this, sql);
    } catch (const SQLite::Exception& error) {
        throwTranslated(error, path());
    }
}

void SqliteConnection::execute(const std::string& sql) {
    try {
        m_database.exec(sql);
    } catch (const SQLite::Exception& error) {
        throwTranslated(error, path());
    }
}

void SqliteConnection::beginWriting() {
    // Something else, or nothing, stands at the path by now: what is written would be lost with the last
    // connection.
    int moved = 0;
    const int asked = sqlite3_file_control(m_database.getHandle(), "main", SQLITE_FCNTL_HAS_MOVED, &moved);
    if (asked == SQLITE_OK && moved != 0) {
        throw ShopFileFault("the shop file " + path().string() +
                            " was moved or removed while it was open: nothing was changed, open it anew");
    }
    execute("BEGIN IMMEDIATE");
}

void SqliteConnection::rollBack() noexcept {
    try {
        m_database.exec("ROLLBACK");
    } catch (const SQLite::Exception&) {
        // The file is safe all the same: what is not committed does not exist for anybody else, and SQLite
        // drops it when the connection closes.
        return;
    }
}

void SqliteConnection::rollBackTo(const std::string& savepoint) noexcept {
    try {
        m_database.exec("ROLLBACK TO " + savepoint);
        m_database.exec("RELEASE " + savepoint);
    } catch (const SQLite::Exception&) {
        return; // as above
    }
}

int SqliteConnection::schemaNumber() {
    Query query(*this, "PRAGMA user_version");
    query.mustRow();
    return query.smallInteger(0);
}

void SqliteConnection::setSchemaNumber(int number) {
    execute("PRAGMA application_id = " + std::to_string(shop_application_id));
    execute("PRAGMA user_version = " + std::to_string(number));
}

std::vector<std::string> SqliteConnection::brokenReferences(std::size_t most) {
    std::vector<std::string> found;
    Query keys(*this, "PRAGMA foreign_key_check");
    while (found.size() < most && keys.next()) {
        found.push_back("a row of " + keys.text(0) + " names a row of " + keys.text(2) +
                        " that is not there");
    }
    return found;
}

void SqliteConnection::settle() {
    // So that the header of the file itself, not only its write-ahead log, carries the new numbers: an older
    // program then turns the file down after one look.
    Query checkpoint(*this, "PRAGMA wal_checkpoint(TRUNCATE)");
    checkpoint.mustRow();
}

SqliteConnection* asFile(ShopConnection& connection) {
    return dynamic_cast<SqliteConnection*>(&connection);
}

SqliteConnection& fileBehind(ShopConnection& connection) {
    SqliteConnection* file = asFile(connection);
    if (file == nullptr) throw std::logic_error("what is for files alone was asked of a server");
    return *file;
}

void throwTranslated(const SQLite::Exception& error, const std::filesystem::path& path) {
    const std::string file = "the shop file " + path.string();
    const std::string detail = std::string(" (") + error.getErrorStr() + ")";
    switch (error.getErrorCode() & 0xff) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        throw ShopFileFault(file + " is in use by another program that has not finished its own entry: "
                                   "nothing was changed, try again in a moment");
    case SQLITE_FULL:
        throw ShopFileFault("the disk with " + file + " is full: nothing was changed");
    case SQLITE_IOERR:
        throw ShopFileFault("the disk did not read or write " + file + " as it should: nothing was changed" +
                            detail);
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
        throw ShopFileFault(file + " is damaged" + detail + ": go back to a backup");
    case SQLITE_READONLY:
    case SQLITE_PERM:
        throw ShopFileFault(file + " or its folder may not be written by this user" + detail);
    case SQLITE_CANTOPEN:
        if (!mayBeWritten(path) && std::filesystem::exists(path.string() + "-wal")) {
            throw ShopFileFault(
                file + " has a log beside it (" + path.filename().string() +
                "-wal), as a program that had it open came to a sudden end, and its folder may not be "
                "written: copy both to a folder that may be, and open it there");
        }
        throw ShopFileFault(file + " cannot be opened" + detail);
    case SQLITE_PROTOCOL:
    case SQLITE_NOLFS:
        throw ShopFileFault(file + " cannot be opened" + detail);
    case SQLITE_NOMEM:
        throw std::bad_alloc();
    default:
        if (detail.find("unsupported file format") != std::string::npos) // a byte of the header
            throw ShopFileFault(file + " is damaged" + detail + ": go back to a backup");
        // A broken constraint, SQL or binding: our own checks come first, so this is a bug and must be loud.
        throw std::logic_error("inventory broke a rule of its own database: " + std::string(error.what()));
    }
}

} // namespace shimledger::inventory
