// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/shop_connection.h"

#include "inventory/drive_check.h"
#include "inventory/inventory_error.h"
#include "inventory/storage/file_header.h"

#include <SQLiteCpp/Exception.h>
#include <sqlite3.h>

#include <cctype>
#include <new>
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

ShopConnection::ShopConnection(std::filesystem::path path, Access access, WallClock clock)
    : m_path(std::move(path)), m_access(access), m_clock(std::move(clock)),
      m_database(openDatabase(m_path, access, m_lock)) {}

ShopConnection::~ShopConnection() {
    m_lock.release();
}

bool ShopConnection::inTransaction() const {
    return sqlite3_get_autocommit(m_database.getHandle()) == 0;
}

std::unique_ptr<SQLite::Statement> ShopConnection::borrow(std::string_view sql) {
    const auto found = m_statements.find(sql);
    if (found != m_statements.end() && found->second) return std::move(found->second);
    try {
        return std::make_unique<SQLite::Statement>(m_database, std::string(sql));
    } catch (const SQLite::Exception& error) {
        throwTranslated(error, m_path);
    }
}

void ShopConnection::giveBack(std::string_view sql, std::unique_ptr<SQLite::Statement> statement) noexcept {
    try {
        statement->tryReset();
        statement->clearBindings();
        const auto found = m_statements.find(sql);
        if (found != m_statements.end()) {
            found->second = std::move(statement);
        } else {
            m_statements.emplace(std::string(sql), std::move(statement));
        }
    } catch (...) {
        statement.reset(); // out of memory: the next borrower prepares it anew
    }
}

void ShopConnection::execute(const std::string& sql) {
    try {
        m_database.exec(sql);
    } catch (const SQLite::Exception& error) {
        throwTranslated(error, m_path);
    }
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
