// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/sqlite/sqlite_statement.h"

#include <SQLiteCpp/Column.h>
#include <SQLiteCpp/Exception.h>

namespace shimledger::inventory {

void SqliteStatement::bind(int index, std::int64_t value) {
    try {
        m_statement.bind(index, value);
    } catch (const SQLite::Exception& error) {
        throwTranslated(error, m_connection.path());
    }
}

void SqliteStatement::bind(int index, std::string_view value) {
    try {
        m_statement.bind(index, std::string(value));
    } catch (const SQLite::Exception& error) {
        throwTranslated(error, m_connection.path());
    }
}

void SqliteStatement::bindNull(int index, Kind /*kind*/) {
    try {
        m_statement.bind(index); // a statement given back has no values left, but say it
    } catch (const SQLite::Exception& error) {
        throwTranslated(error, m_connection.path());
    }
}

bool SqliteStatement::step() {
    try {
        return m_statement.executeStep();
    } catch (const SQLite::Exception& error) {
        throwTranslated(error, m_connection.path());
    }
}

void SqliteStatement::reset() noexcept {
    m_statement.tryReset();
    try {
        m_statement.clearBindings();
    } catch (const SQLite::Exception&) {
        return; // every value is bound anew before the next run
    }
}

PreparedStatement::Kind SqliteStatement::kind(int column) {
    return std::string_view(m_statement.getColumnDeclaredType(column)) == "INTEGER" ? Kind::integer
                                                                                    : Kind::text;
}

std::int64_t SqliteStatement::integer(int column) const {
    return m_statement.getColumn(column).getInt64();
}

std::string_view SqliteStatement::text(int column) const {
    const SQLite::Column value = m_statement.getColumn(column);
    const char* bytes = value.getText();
    return {bytes, static_cast<std::size_t>(value.getBytes())};
}

} // namespace shimledger::inventory
