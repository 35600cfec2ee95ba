// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/storage/postgres/server_connection.h"

#include <pqxx/result>

namespace shimledger::inventory {

/// A statement of a shop on a server. All its rows are fetched at the first step; of one that begins with
/// many_rows some thousands at a time, inside of a transaction.
class ServerStatement final : public PreparedStatement {
public:
    ServerStatement(ServerConnection& connection, std::string_view sql);
    ~ServerStatement() override { reset(); }
    ServerStatement(const ServerStatement&) = delete;
    ServerStatement& operator=(const ServerStatement&) = delete;

    void bind(int index, std::int64_t value) override;
    void bind(int index, std::string_view value) override;
    void bindNull(int index, Kind kind) override;
    bool step() override;
    [[nodiscard]] int changedRows() const override;
    void reset() noexcept override;

    [[nodiscard]] int columnCount() override;
    [[nodiscard]] Kind kind(int column) override;
    [[nodiscard]] bool isNull(int column) const override;
    [[nodiscard]] std::int64_t integer(int column) const override;
    [[nodiscard]] std::string_view text(int column) const override;

private:
    const pqxx::result& rows(); ///< asked for once
    void fetch();
    void put(int index, std::optional<std::string> value, Kind kind);

    ServerConnection& m_connection;
    std::string m_sql;         // with ?1
    std::string m_server_sql;  // for m_server_kinds; empty: not made yet
    std::vector<Kind> m_kinds; // of the values
    std::vector<Kind> m_server_kinds;
    ServerConnection::Values m_values;
    bool m_many; // rows, perhaps
    bool m_reads;
    std::string m_cursor; // that is open on the server; empty: none
    std::optional<pqxx::result> m_rows;
    pqxx::result::size_type m_next = 0;
};

} // namespace shimledger::inventory
