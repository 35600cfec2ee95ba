// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/sqlite/sqlite_statement.h"

#include <SQLiteCpp/Exception.h>
#include <sqlite3.h>

#include <stdexcept>
#include <string>

namespace shimledger::inventory {

void SqliteStatement::Finalize::operator()(sqlite3_stmt* statement) const noexcept {
    sqlite3_finalize(statement);
}

SqliteStatement::SqliteStatement(SqliteConnection& connection, std::string_view sql)
    : m_connection(connection) {
    sqlite3* handle = connection.database().getHandle();
    sqlite3_stmt* statement = nullptr;
    const int result =
        sqlite3_prepare_v2(handle, sql.data(), static_cast<int>(sql.size()), &statement, nullptr);
    m_statement.reset(statement);
    if (result != SQLITE_OK) throw SQLite::Exception(handle, result);
}

void SqliteStatement::check(int result) const {
    if (result == SQLITE_OK) return;
    throwTranslated(SQLite::Exception(m_connection.database().getHandle(), result), m_connection.path());
}

void SqliteStatement::bind(int index, std::int64_t value) {
    check(sqlite3_bind_int64(m_statement.get(), index, value));
}

void SqliteStatement::bind(int index, std::string_view value) {
    // A text without bytes is not NULL.
    const char* bytes = value.data() == nullptr ? "" : value.data();
    check(sqlite3_bind_text64(m_statement.get(), index, bytes, value.size(), SQLITE_TRANSIENT, SQLITE_UTF8));
}

void SqliteStatement::bindNull(int index, Kind /*kind*/) {
    check(sqlite3_bind_null(m_statement.get(), index)); // one given back has no values left, but say it
}

bool SqliteStatement::step() {
    if (m_done) throw std::logic_error("a statement that has ended was asked for more rows");
    const int result = sqlite3_step(m_statement.get());
    if (result == SQLITE_ROW) return true;
    m_done = true;
    if (result != SQLITE_DONE) check(result);
    return false;
}

void SqliteStatement::reset() noexcept {
    sqlite3_reset(m_statement.get()); // says once more what the last step said
    sqlite3_clear_bindings(m_statement.get());
    m_done = false;
}

int SqliteStatement::columnCount() {
    return sqlite3_column_count(m_statement.get());
}

PreparedStatement::Kind SqliteStatement::kind(int column) {
    const char* declared = sqlite3_column_decltype(m_statement.get(), column);
    return declared != nullptr && std::string_view(declared) == "INTEGER" ? Kind::integer : Kind::text;
}

bool SqliteStatement::isNull(int column) const {
    return sqlite3_column_type(m_statement.get(), column) == SQLITE_NULL;
}

std::int64_t SqliteStatement::integer(int column) const {
    return sqlite3_column_int64(m_statement.get(), column);
}

std::string_view SqliteStatement::text(int column) const {
    const unsigned char* bytes = sqlite3_column_text(m_statement.get(), column);
    if (bytes == nullptr) return {"", 0}; // NULL
    return {reinterpret_cast<const char*>(bytes),
            static_cast<std::size_t>(sqlite3_column_bytes(m_statement.get(), column))};
}

} // namespace shimledger::inventory
