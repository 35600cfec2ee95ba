// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/calendar.h"
#include "inventory/shop_file.h"
#include "inventory/storage/shop_connection.h"
#include "planner/units/length.h"

#include <concepts>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>

namespace shimledger::inventory {

/// One run of a prepared statement: values in (?1, ?2, ... in order), typed columns out, errors translated,
/// the statement given back at the end. Columns are copied out at once; a NULL where none may be is a bug.
///
///     Query query(connection, "SELECT code FROM bins WHERE bin_id = ?1", bin_id);
///     while (query.next()) use(query.text(0));
class Query {
public:
    template <class... Values>
    Query(ShopConnection& connection, std::string_view sql, const Values&... values)
        : m_connection(connection), m_sql(sql), m_statement(connection.borrow(sql)) {
        [[maybe_unused]] int index = 0;
        (bind(++index, values), ...);
    }
    /// The text outlives the query, which keeps no copy of it: none that is made for the call.
    template <std::same_as<std::string> Made, class... Values>
    Query(ShopConnection& connection, Made&& sql, const Values&... values) = delete;
    ~Query();
    Query(const Query&) = delete;
    Query& operator=(const Query&) = delete;

    bool next();       ///< to the next row; false when there is none
    void run();        ///< for statements that return no rows
    void mustRow();    ///< next(), where a row must exist
    int runCounting(); ///< run(); how many rows it changed

    [[nodiscard]] int columnCount() { return m_statement->columnCount(); }
    [[nodiscard]] bool isNull(int column) const;
    [[nodiscard]] std::int64_t integer(int column) const;
    [[nodiscard]] std::optional<std::int64_t> optionalInteger(int column) const;
    [[nodiscard]] int smallInteger(int column) const; ///< range-checked
    [[nodiscard]] std::string text(int column) const;
    [[nodiscard]] std::string textOrEmpty(int column) const; ///< NULL reads as ""
    [[nodiscard]] Length length(int column) const;           ///< micrometres
    [[nodiscard]] std::optional<Length> optionalLength(int column) const;
    [[nodiscard]] CalendarDate date(int column) const;
    [[nodiscard]] std::optional<CalendarDate> optionalDate(int column) const;
    [[nodiscard]] UtcTime utc(int column) const;
    /// Appends all columns of the row, each with its length before it ("-" for NULL), so that no two rows
    /// read alike.
    void appendAll(std::string& text) const;

private:
    void bind(int index, std::int64_t value) { m_statement->bind(index, value); }
    void bind(int index, int value) { bind(index, static_cast<std::int64_t>(value)); }
    void bind(int index, std::string_view value) { m_statement->bind(index, value); }
    void bind(int index, const std::string& value) { bind(index, std::string_view(value)); }
    void bind(int index, const char* value) { bind(index, std::string_view(value)); }
    void bind(int index, Length value) { bind(index, value.micrometres()); }
    void bind(int index, CalendarDate value) { bind(index, value.text()); }
    void bind(int index, UtcTime value) { bind(index, value.text()); }
    template <class Value>
    void bind(int index, const std::optional<Value>& value) {
        using Kind = PreparedStatement::Kind;
        constexpr bool whole = std::is_integral_v<Value> || std::is_same_v<Value, Length>;
        if (value) {
            bind(index, *value);
        } else {
            m_statement->bindNull(index, whole ? Kind::integer : Kind::text);
        }
    }

    ShopConnection& m_connection;
    std::string_view m_sql; // a literal: outlives the query
    std::unique_ptr<PreparedStatement> m_statement;
};

} // namespace shimledger::inventory
