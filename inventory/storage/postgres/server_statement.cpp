// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/postgres/server_statement.h"

#include "inventory/inventory_error.h"
#include "inventory/storage/postgres/server_sql.h"
#include "planner/units/input_error.h"

#include <charconv>

namespace shimledger::inventory {

namespace {

constexpr pqxx::result::size_type rows_at_once = 10'000;

} // namespace

ServerStatement::ServerStatement(ServerConnection& connection, std::string_view sql)
    : m_connection(connection), m_sql(sql), m_many(sql.substr(0, many_rows.size()) == many_rows),
      m_reads(m_many || sql.substr(0, 6) == "SELECT" || sql.substr(0, 4) == "WITH") {}

void ServerStatement::put(int index, std::optional<std::string> value, Kind kind) {
    const auto place = static_cast<std::size_t>(index) - 1;
    if (place >= m_values.size()) {
        m_values.resize(place + 1);
        m_kinds.resize(place + 1, Kind::text);
    }
    m_values[place] = std::move(value);
    m_kinds[place] = kind;
}

void ServerStatement::bind(int index, std::int64_t value) {
    put(index, std::to_string(value), Kind::integer);
}

void ServerStatement::bind(int index, std::string_view value) {
    if (value.find('\0') != std::string_view::npos) {
        throw InputError("a text holds a zero byte, which a shop on a server cannot keep: take it out");
    }
    put(index, std::string(value), Kind::text);
}

void ServerStatement::bindNull(int index, Kind kind) {
    put(index, std::nullopt, kind);
}

const pqxx::result& ServerStatement::rows() {
    if (!m_rows) {
        if (m_server_sql.empty() || m_server_kinds != m_kinds) {
            m_server_sql = queryForServer(m_sql, m_kinds);
            m_server_kinds = m_kinds;
        }
        if (m_many && m_connection.inTransaction()) {
            const std::string cursor = m_connection.newCursor();
            static_cast<void>(m_connection.run("DECLARE " + cursor + " NO SCROLL CURSOR FOR " + m_server_sql,
                                               m_values, false));
            m_cursor = cursor;
            fetch();
        } else {
            m_rows = m_connection.run(m_server_sql, m_values, m_reads);
            m_next = 0;
        }
    }
    return *m_rows;
}

void ServerStatement::fetch() {
    m_rows = m_connection.say("FETCH FORWARD " + std::to_string(rows_at_once) + " FROM " + m_cursor);
    m_next = 0;
}

bool ServerStatement::step() {
    const pqxx::result& all = rows();
    if (!m_cursor.empty() && m_next == rows_at_once) fetch();
    if (m_next >= all.size()) return false;
    ++m_next;
    return true;
}

int ServerStatement::changedRows() const {
    return m_rows ? static_cast<int>(m_rows->affected_rows()) : 0;
}

void ServerStatement::reset() noexcept {
    if (!m_cursor.empty()) m_connection.closeCursor(m_cursor);
    m_cursor.clear();
    m_rows.reset();
    m_values.clear();
    m_kinds.clear();
}

int ServerStatement::columnCount() {
    return static_cast<int>(rows().columns());
}

PreparedStatement::Kind ServerStatement::kind(int column) {
    constexpr pqxx::oid eight_bytes = 20; // what a table of ours holds is this or a text
    return rows().column_type(static_cast<pqxx::row_size_type>(column)) == eight_bytes ? Kind::integer
                                                                                       : Kind::text;
}

bool ServerStatement::isNull(int column) const {
    return (*m_rows)[m_next - 1][static_cast<pqxx::row_size_type>(column)].is_null();
}

std::string_view ServerStatement::text(int column) const {
    const auto field = (*m_rows)[m_next - 1][static_cast<pqxx::row_size_type>(column)];
    return {field.c_str(), field.size()};
}

std::int64_t ServerStatement::integer(int column) const {
    const std::string_view digits = text(column);
    if (digits == "t") return 1; // a truth value
    if (digits == "f") return 0;
    std::int64_t value = 0;
    const auto [end, problem] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
    if (problem != std::errc{} || end != digits.data() + digits.size())
        throw ShopFileFault("the shop " + m_connection.path().string() + " holds a number out of range");
    return value;
}

} // namespace shimledger::inventory
