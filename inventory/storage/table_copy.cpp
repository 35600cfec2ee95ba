// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/table_copy.h"

#include "inventory/inventory_error.h"
#include "inventory/storage/query.h"

#include <string_view>
#include <vector>

namespace shimledger::inventory {

namespace {

constexpr int rows_at_once = 50; // in one statement

/// All rows in the order of their values, by which both databases order alike.
std::string allRows(ShopConnection& shop, const std::string& table) {
    const std::string every_column = "SELECT * FROM " + table;
    const std::string no_row = every_column + " LIMIT 0";
    const int columns = Query(shop, no_row).columnCount();
    std::string sql = std::string(many_rows) + every_column + " ORDER BY ";
    // Jobs that others name as their component's come first. Shops of before schema 8 have none.
    if (table == "jobs" && shop.schemaNumber() >= 8) sql += "valve_of_id IS NOT NULL, ";
    for (int column = 1; column <= columns; ++column)
        sql += (column > 1 ? ", " : "") + std::to_string(column) + " NULLS FIRST";
    return sql;
}

std::string insertion(const std::string& table, int columns, int rows) {
    std::string sql = "INSERT INTO " + table + " VALUES ";
    for (int value = 0; value < columns * rows; ++value) {
        if (value % columns == 0) sql += value == 0 ? "(" : "), (";
        sql += (value % columns == 0 ? "?" : ", ?") + std::to_string(value + 1);
    }
    return sql + ")";
}

/// Some rows on their way: taken up until they fill a statement.
class RowBatch {
public:
    RowBatch(ShopConnection& to, const std::string& table, int columns)
        : m_to(to), m_table(table), m_columns(columns), m_full_sql(insertion(table, columns, rows_at_once)),
          m_full(to.borrow(m_full_sql)) {}
    ~RowBatch() { m_to.giveBack(m_full_sql, std::move(m_full)); }
    RowBatch(const RowBatch&) = delete;
    RowBatch& operator=(const RowBatch&) = delete;

    void add(PreparedStatement& row) {
        for (int column = 0; column < m_columns; ++column) {
            const PreparedStatement::Kind kind = row.kind(column);
            if (row.isNull(column)) {
                m_values.push_back({kind, true, 0, {}});
            } else if (kind == PreparedStatement::Kind::integer) {
                m_values.push_back({kind, false, row.integer(column), {}});
            } else {
                m_values.push_back({kind, false, 0, std::string(row.text(column))});
            }
        }
        if (++m_rows == rows_at_once) put(*m_full);
    }
    void finish() {
        if (m_rows == 0) return;
        const std::string sql = insertion(m_table, m_columns, m_rows);
        auto rest = m_to.borrow(sql);
        put(*rest);
    }

private:
    struct Value {
        PreparedStatement::Kind kind;
        bool null;
        std::int64_t integer;
        std::string text;
    };

    void put(PreparedStatement& statement) {
        statement.reset();
        for (std::size_t i = 0; i < m_values.size(); ++i) {
            const int index = static_cast<int>(i) + 1;
            const Value& value = m_values[i];
            if (value.null) {
                statement.bindNull(index, value.kind);
            } else if (value.kind == PreparedStatement::Kind::integer) {
                statement.bind(index, value.integer);
            } else {
                statement.bind(index, std::string_view(value.text));
            }
        }
        while (statement.step()) continue;
        m_values.clear();
        m_rows = 0;
    }

    ShopConnection& m_to;
    const std::string& m_table;
    int m_columns;
    std::string m_full_sql;
    std::unique_ptr<PreparedStatement> m_full;
    std::vector<Value> m_values;
    int m_rows = 0;
};

} // namespace

bool isEmptyTable(ShopConnection& shop, const std::string& table) {
    const std::string sql = "SELECT 1 FROM " + table + " LIMIT 1";
    return !Query(shop, sql).next();
}

std::int64_t copyTable(ShopConnection& from, ShopConnection& to, const std::string& table) {
    const std::string sql = allRows(from, table);
    const auto rows = from.borrow(sql);
    std::int64_t count = 0;
    RowBatch batch(to, table, rows->columnCount());
    while (rows->step()) {
        batch.add(*rows);
        ++count;
    }
    batch.finish();
    return count;
}

std::vector<std::int64_t> copyTables(ShopConnection& from, ShopConnection& to,
                                     const std::vector<std::string>& tables) {
    std::vector<std::int64_t> rows;
    for (const std::string& table : tables) rows.push_back(copyTable(from, to, table));
    for (const std::string& table : tables) {
        if (!sameRows(from, to, table)) {
            throw ShopFileFault("the rows of " + table + " did not arrive in " + to.path().string() +
                                " as they are: " + from.path().string() + " stays as it was");
        }
    }
    return rows;
}

bool sameRows(ShopConnection& one, ShopConnection& other, const std::string& table) {
    const std::string sql = allRows(one, table);
    Query here(one, sql);
    Query there(other, sql);
    std::string this_row;
    std::string that_row;
    for (;;) {
        const bool more = here.next();
        if (there.next() != more) return false;
        if (!more) return true;
        this_row.clear();
        that_row.clear();
        here.appendAll(this_row);
        there.appendAll(that_row);
        if (this_row != that_row) return false;
    }
}

} // namespace shimledger::inventory
