// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/storage/prepared_statement.h"
#include "inventory/storage/sqlite/sqlite_connection.h"

#include <memory>

struct sqlite3_stmt;

namespace shimledger::inventory {

/// A statement of a shop file. By SQLite's own calls: a proof of a large ledger reads tens of millions of
/// values one by one, each of which costs more through a library in between than to read.
class SqliteStatement final : public PreparedStatement {
public:
    SqliteStatement(SqliteConnection& connection, std::string_view sql); ///< throws SQLite::Exception

    void bind(int index, std::int64_t value) override;
    void bind(int index, std::string_view value) override;
    void bindNull(int index, Kind kind) override;
    bool step() override;
    [[nodiscard]] int changedRows() const override { return m_connection.database().getChanges(); }
    void reset() noexcept override;

    [[nodiscard]] int columnCount() override;
    [[nodiscard]] Kind kind(int column) override;
    [[nodiscard]] bool isNull(int column) const override;
    [[nodiscard]] std::int64_t integer(int column) const override;
    [[nodiscard]] std::string_view text(int column) const override;

private:
    struct Finalize {
        void operator()(sqlite3_stmt* statement) const noexcept;
    };
    void check(int result) const; ///< throws what SQLite says, in our words

    SqliteConnection& m_connection;
    std::unique_ptr<sqlite3_stmt, Finalize> m_statement;
    bool m_done = false;
};

} // namespace shimledger::inventory
