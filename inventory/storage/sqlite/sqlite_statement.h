// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/storage/prepared_statement.h"
#include "inventory/storage/sqlite/sqlite_connection.h"

#include <SQLiteCpp/Statement.h>

#include <string>

namespace shimledger::inventory {

/// A statement of a shop file.
class SqliteStatement final : public PreparedStatement {
public:
    SqliteStatement(SqliteConnection& connection, std::string_view sql)
        : m_connection(connection), m_statement(connection.database(), std::string(sql)) {}

    void bind(int index, std::int64_t value) override;
    void bind(int index, std::string_view value) override;
    void bindNull(int index, Kind kind) override;
    bool step() override;
    [[nodiscard]] int changedRows() const override { return m_connection.database().getChanges(); }
    void reset() noexcept override;

    [[nodiscard]] int columnCount() override { return m_statement.getColumnCount(); }
    [[nodiscard]] Kind kind(int column) override;
    [[nodiscard]] bool isNull(int column) const override { return m_statement.isColumnNull(column); }
    [[nodiscard]] std::int64_t integer(int column) const override;
    [[nodiscard]] std::string_view text(int column) const override;

private:
    SqliteConnection& m_connection;
    mutable SQLite::Statement m_statement; // its columns are read through a reference that could change it
};

} // namespace shimledger::inventory
