// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/row_salvage.h"

#include "inventory/calendar.h"
#include "inventory/inventory_error.h"
#include "inventory/model_flow.h"
#include "inventory/part_kinds.h"
#include "inventory/recipe.h"
#include "inventory/storage/quoted.h"

#include <SQLiteCpp/Exception.h>
#include <sqlite3.h>

#include <algorithm>
#include <optional>
#include <stdexcept>

namespace shimledger::inventory {

namespace {

constexpr std::size_t most_sentences = 20;

struct Column {
    std::string name;
    int place_in_key = 0; ///< 1, 2, ...; 0: no part of it
    bool is_text = false;
};

struct Table {
    std::string name;
    std::vector<Column> columns;
    std::vector<Column> key; ///< in its order
};

std::vector<Table> tablesOf(SQLite::Database& database) {
    std::vector<Table> tables;
    SQLite::Statement names(database,
                            "SELECT name FROM main.sqlite_schema WHERE type = 'table' AND name NOT LIKE "
                            "'sqlite_%' ORDER BY rowid");
    while (names.executeStep()) {
        Table table{names.getColumn(0).getString(), {}, {}};
        SQLite::Statement columns(database, "SELECT name, pk, type FROM pragma_table_info(?)");
        columns.bind(1, table.name);
        while (columns.executeStep())
            table.columns.push_back({columns.getColumn(0).getString(), columns.getColumn(1).getInt(),
                                     columns.getColumn(2).getString() == "TEXT"});
        for (const Column& column : table.columns)
            if (column.place_in_key > 0) table.key.push_back(column);
        std::sort(table.key.begin(), table.key.end(),
                  [](const Column& a, const Column& b) { return a.place_in_key < b.place_in_key; });
        tables.push_back(std::move(table));
    }
    return tables;
}

/// "" or why the value cannot be what its column is for.
std::string problemOfValue(const std::string& table, const Column& column, const std::string& value) {
    try {
        if (!isUtf8(value)) return column.name + " is no text";
        if (column.name == "utc" || column.name == "ordered_utc" || column.name == "ended_utc" ||
            column.name == "made_utc")
            static_cast<void>(UtcTime::parse(value));
        if (column.name == "opened" || column.name == "due" || column.name == "priced_on")
            static_cast<void>(CalendarDate::parse(value));
        if (table == "parts" && column.name == "kind") static_cast<void>(parsePartKind(value));
        if (column.name == "adjuster") static_cast<void>(parseAdjuster(value));
        if (column.name == "stack") static_cast<void>(parseRecipeStack(value));
        if (column.name == "code") checkCode(value, "code", "code");
    } catch (const InputError& problem) {
        return column.name + ": " + problem.what();
    }
    return "";
}

std::string keyText(const Table& table, const std::vector<std::string>& values) {
    std::string text;
    for (std::size_t i = 0; i < table.key.size(); ++i)
        text += (text.empty() ? "" : ", ") + table.key[i].name + " " + values[i];
    return text;
}

/// Goes through the rows of a readable table and gives each one whose values are none to `found`: its key and
/// why.
template <class Found>
void lookAtValues(SQLite::Database& database, const Table& table, Found&& found) {
    std::string sql = "SELECT ";
    for (const Column& column : table.key) sql += column.name + ", ";
    std::vector<Column> texts;
    for (const Column& column : table.columns)
        if (column.is_text) texts.push_back(column);
    for (const Column& column : texts) sql += column.name + ", ";
    if (texts.empty()) return;
    sql.resize(sql.size() - 2);
    SQLite::Statement rows(database, sql + " FROM main." + table.name);
    while (rows.executeStep()) {
        for (std::size_t i = 0; i < texts.size(); ++i) {
            const SQLite::Column value = rows.getColumn(static_cast<int>(table.key.size() + i));
            if (value.isNull()) continue;
            const std::string problem = problemOfValue(table.name, texts[i], value.getString());
            if (problem.empty()) continue;
            std::vector<std::string> key;
            for (std::size_t k = 0; k < table.key.size(); ++k)
                key.push_back(rows.getColumn(static_cast<int>(k)).getString());
            found(key, problem);
            break;
        }
    }
}

/// Copies one table from the attached damaged file, by ever smaller ranges of its key where one cannot be
/// read.
class TableSalvage {
public:
    TableSalvage(SQLite::Database& database, const Table& table) : m_database(database), m_table(table) {
        m_result.table = table.name;
    }

    SalvagedTable run() {
        if (m_table.key.empty() || m_table.key.front().is_text) {
            copyOneByOne("1"); // a handful of rows at most
        } else if (!copy("1")) {
            const Range all = range();
            if (all.last >= all.first) copyRange(all.first, all.last);
        }
        dropUnreadableValues();
        if (m_table.name == "movements") nameGaps();
        if (m_result.lost.size() > most_sentences) {
            const std::size_t more = m_result.lost.size() - most_sentences;
            m_result.lost.resize(most_sentences);
            m_result.lost.push_back("and " + std::to_string(more) + " more");
        }
        SQLite::Statement count(m_database, "SELECT count(*) FROM main." + m_table.name);
        m_result.rows = count.executeStep() ? count.getColumn(0).getInt64() : 0;
        return m_result;
    }

private:
    struct Range {
        std::int64_t first = 1, last = 0;
    };

    /// True if all rows that meet the condition are in the fresh table now.
    bool copy(const std::string& condition) {
        try {
            m_database.exec("INSERT INTO main." + m_table.name + " SELECT * FROM damaged." + m_table.name +
                            " WHERE " + condition);
            return true;
        } catch (const SQLite::Exception& error) {
            m_problem = error.getErrorStr();
            return false;
        }
    }

    std::optional<std::int64_t> number(const std::string& sql) {
        try {
            SQLite::Statement query(m_database, sql);
            if (!query.executeStep() || query.getColumn(0).isNull()) return std::nullopt;
            return query.getColumn(0).getInt64();
        } catch (const SQLite::Exception&) {
            return std::nullopt;
        }
    }

    /// From the smallest to the largest number that the first column of the key can have.
    Range range() {
        const std::string& first = m_table.key.front().name;
        const std::string from = " FROM damaged." + m_table.name;
        Range found{number("SELECT min(" + first + ")" + from).value_or(1), 0};
        const auto largest = number("SELECT max(" + first + ")" + from);
        // Where the end of the table cannot be read, other tables may know how far it went.
        if (largest) {
            found.last = *largest;
        } else {
            std::int64_t known = 0;
            for (const Table& other : tablesOf(m_database)) {
                SQLite::Statement keys(m_database,
                                       "SELECT \"from\", \"table\" FROM pragma_foreign_key_list(?)");
                keys.bind(1, other.name);
                while (keys.executeStep()) {
                    if (keys.getColumn(1).getString() != m_table.name) continue;
                    known = std::max(known, number("SELECT max(" + keys.getColumn(0).getString() +
                                                   ") FROM damaged." + other.name)
                                                .value_or(0));
                }
            }
            constexpr std::int64_t rows_of_some_pages = 2'000;
            found.last = std::max(known, lastReadable() + rows_of_some_pages);
        }
        return found;
    }

    std::int64_t lastReadable() {
        std::int64_t last = 0;
        try {
            SQLite::Statement rows(m_database,
                                   "SELECT " + m_table.key.front().name + " FROM damaged." + m_table.name);
            while (rows.executeStep()) last = std::max(last, rows.getColumn(0).getInt64());
        } catch (const SQLite::Exception&) {
            return last; // up to where it can be read
        }
        return last;
    }

    void copyRange(std::int64_t first, std::int64_t last) {
        const std::string& column = m_table.key.front().name;
        if (first == last) {
            const std::string condition = column + " = " + std::to_string(first);
            if (copy(condition)) return;
            if (m_table.key.size() > 1) {
                copyOneByOne(condition);
            } else {
                lose(column + " " + std::to_string(first) + ": " + m_problem);
            }
            return;
        }
        if (copy(column + " BETWEEN " + std::to_string(first) + " AND " + std::to_string(last))) return;
        const std::int64_t middle = first + (last - first) / 2;
        copyRange(first, middle);
        copyRange(middle + 1, last);
    }

    /// Rows of a compound key: from both ends up to what cannot be read; then a row that is refused is passed
    /// over.
    void copyOneByOne(const std::string& condition) {
        for (const char* direction : {" ASC", " DESC"}) {
            std::string order;
            for (const Column& column : m_table.key)
                order += (order.empty() ? "" : ", ") + column.name + direction;
            constexpr int most_rows = 100'000;
            for (int offset = 0; offset < most_rows; ++offset) {
                const std::string one = "(" + condition + ")" + (order.empty() ? "" : " ORDER BY " + order) +
                                        " LIMIT 1 OFFSET " + std::to_string(offset);
                try {
                    SQLite::Statement look(m_database,
                                           "SELECT 1 FROM damaged." + m_table.name + " WHERE " + one);
                    if (!look.executeStep()) return; // all of them were looked at
                } catch (const SQLite::Exception& error) {
                    lose(condition + ", row " + std::to_string(offset + 1) + " from " +
                         (*std::next(direction) == 'A' ? "the beginning" : "the end") + ": " +
                         error.getErrorStr());
                    break;
                }
                try {
                    m_database.exec("INSERT OR IGNORE INTO main." + m_table.name + " SELECT * FROM damaged." +
                                    m_table.name + " WHERE " + one);
                } catch (const SQLite::Exception& error) {
                    lose(condition + ", row " + std::to_string(offset + 1) + ": " + error.getErrorStr());
                }
            }
        }
    }

    /// Movements are numbered without a gap: one that is there was lost without a word, as where a page says
    /// that it holds fewer rows than it does.
    void nameGaps() {
        SQLite::Statement gaps(
            m_database, "SELECT before + 1, movement_id - 1 FROM (SELECT movement_id, lag(movement_id, 1, "
                        "0) OVER (ORDER BY movement_id) AS before FROM main.movements) WHERE movement_id > "
                        "before + 1");
        while (gaps.executeStep()) {
            const std::int64_t first = gaps.getColumn(0).getInt64(), last = gaps.getColumn(1).getInt64();
            m_result.lost_rows += last - first; // and one by the sentence
            lose(first == last
                     ? "movement " + std::to_string(first) + ": not there"
                     : "movements " + std::to_string(first) + " to " + std::to_string(last) + ": not there");
        }
    }

    void dropUnreadableValues() {
        std::vector<std::vector<std::string>> keys;
        lookAtValues(m_database, m_table,
                     [&](const std::vector<std::string>& key, const std::string& problem) {
                         keys.push_back(key);
                         lose(keyText(m_table, key) + ": " + problem);
                     });
        for (const auto& key : keys) {
            std::string condition;
            for (const Column& column : m_table.key)
                condition += (condition.empty() ? "" : " AND ") + column.name + " = ?";
            SQLite::Statement gone(m_database, "DELETE FROM main." + m_table.name + " WHERE " + condition);
            for (std::size_t i = 0; i < key.size(); ++i) gone.bind(static_cast<int>(i) + 1, key[i]);
            gone.exec();
        }
    }

    void lose(const std::string& sentence) {
        ++m_result.lost_rows;
        m_result.lost.push_back(sentence);
    }

    SQLite::Database& m_database;
    const Table& m_table;
    SalvagedTable m_result;
    std::string m_problem;
};

/// A row in the place of one that is lost, so that what names it can still be told.
struct StandIn {
    const char* table;
    const char* key;
    const char* insert; ///< takes the number as ?1
};
constexpr StandIn stand_ins[] = {
    {"parts", "part_id",
     "INSERT INTO parts (part_id, code, kind, description, size_code, material, hardness, coating, unit, "
     "part_class, "
     "note) VALUES (?1, 'lost-part-' || ?1, 'other', 'lost from a damaged file', '', '', '', '', 'piece', "
     "'', '')"},
    {"bins", "bin_id",
     "INSERT INTO bins (bin_id, code, cabinet, walking_order, note) VALUES (?1, 'lost-bin-' || ?1, 'lost', "
     "0, '')"},
    {"suppliers", "supplier_id",
     "INSERT INTO suppliers (supplier_id, name, lead_time_days, currency, note) VALUES (?1, 'lost-supplier-' "
     "|| ?1, "
     "0, 'EUR', '')"},
    {"component_models", "model_id",
     "INSERT INTO component_models (model_id, code, kind, description, legs, note) VALUES (?1, 'lost-model-' "
     "|| ?1, "
     "'fork', 'lost from a damaged file', 2, '')"},
    {"jobs", "job_id",
     "INSERT INTO jobs (job_id, code, customer, model_id, valve_name, clamp_od_um, port_inner_diameter_um, "
     "port_outer_diameter_um, shim_id_um, legs, opened, priority, status, note) VALUES (?1, 'lost-job-' || "
     "?1, '', "
     "(SELECT min(model_id) FROM component_models), 'lost', 10000, 12000, 20000, 6000, 2, '2000-01-01', 0, "
     "'closed', "
     "'lost from a damaged file')"},
    {"purchase_orders", "order_id",
     "INSERT INTO purchase_orders (order_id, code, supplier_id, ordered_utc, closed, note) VALUES (?1, "
     "'lost-order-' "
     "|| ?1, (SELECT min(supplier_id) FROM suppliers), '2000-01-01T00:00:00Z', 1, '')"}};

void putStandIns(SQLite::Database& database, std::vector<SalvagedTable>& salvaged) {
    for (const StandIn& stand_in : stand_ins) {
        std::vector<std::int64_t> missing;
        for (const Table& table : tablesOf(database)) {
            SQLite::Statement keys(database,
                                   "SELECT \"from\" FROM pragma_foreign_key_list(?1) WHERE \"table\" = ?2");
            keys.bind(1, table.name);
            keys.bind(2, stand_in.table);
            while (keys.executeStep()) {
                const std::string column = keys.getColumn(0).getString();
                SQLite::Statement lost(database, "SELECT DISTINCT " + column + " FROM main." + table.name +
                                                     " WHERE " + column + " IS NOT NULL AND " + column +
                                                     " NOT IN (SELECT " + stand_in.key + " FROM main." +
                                                     stand_in.table + ")");
                while (lost.executeStep()) missing.push_back(lost.getColumn(0).getInt64());
            }
        }
        std::sort(missing.begin(), missing.end());
        missing.erase(std::unique(missing.begin(), missing.end()), missing.end());
        for (const std::int64_t id : missing) {
            SQLite::Statement insert(database, stand_in.insert);
            insert.bind(1, id);
            try {
                insert.exec();
            } catch (const SQLite::Exception&) {
                continue; // what it would need is lost, too: the rows that name it are told by the caller's
                          // tables
            }
            for (SalvagedTable& table : salvaged)
                if (table.table == stand_in.table)
                    table.lost.push_back("number " + std::to_string(id) +
                                         " is named elsewhere and was lost: a row "
                                         "'lost-...' stands for it");
        }
    }
}

/// Rows whose owner is lost and has no stand-in: a reading of a strip row, a price break of an offer.
void dropOrphans(SQLite::Database& database, std::vector<SalvagedTable>& salvaged) {
    // An order's line that is lost takes nothing with it, nor does a movement that another one undid or
    // belonged to.
    database.exec("UPDATE main.movements SET order_line_id = NULL WHERE order_line_id NOT IN (SELECT "
                  "order_line_id FROM "
                  "main.order_lines)");
    for (SalvagedTable& table : salvaged) {
        SQLite::Statement keys(
            database, "SELECT id, \"table\", group_concat(\"from\") FROM pragma_foreign_key_list(?1) "
                      "GROUP BY id");
        keys.bind(1, table.table);
        std::vector<std::string> statements;
        while (keys.executeStep()) {
            const std::string parent = keys.getColumn(1).getString();
            const std::string own = keys.getColumn(2).getString();
            // All references of this schema are to the parent's key, in its order, by columns of the same
            // names but for single ones.
            std::string match;
            std::string given;
            std::size_t begin = 0;
            SQLite::Statement parent_key(database,
                                         "SELECT name FROM pragma_table_info(?1) WHERE pk > 0 ORDER BY pk");
            parent_key.bind(1, parent);
            while (parent_key.executeStep() && begin <= own.size()) {
                const std::size_t end = std::min(own.find(',', begin), own.size());
                const std::string column = own.substr(begin, end - begin);
                match += (match.empty() ? "" : " AND ") + std::string("p.") +
                         parent_key.getColumn(0).getString() + " = main." + table.table + "." + column;
                given += (given.empty() ? "" : " AND ") + column + " IS NOT NULL";
                begin = end + 1;
            }
            statements.push_back("DELETE FROM main." + table.table + " WHERE " + given +
                                 " AND NOT EXISTS (SELECT 1 FROM main." + parent + " p WHERE " + match + ")");
        }
        for (const std::string& statement : statements) {
            const int gone = database.exec(statement);
            if (gone == 0) continue;
            table.lost_rows += gone;
            table.rows -= gone;
            table.lost.push_back(std::to_string(gone) + " rows belong to rows that are lost");
        }
    }
}

} // namespace

std::vector<SalvagedTable> salvageRows(const std::filesystem::path& damaged,
                                       const std::filesystem::path& fresh) {
    std::vector<SalvagedTable> salvaged;
    try {
        SQLite::Database database(fresh.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_URI);
        sqlite3_db_config(database.getHandle(), SQLITE_DBCONFIG_DEFENSIVE, 0, nullptr);
        database.exec("PRAGMA foreign_keys = OFF");
        // A file that was cut is shorter than its header says, and is read all the same with this.
        database.exec("PRAGMA writable_schema = ON");
        database.exec("PRAGMA cell_size_check = OFF");
        SQLite::Statement attach(database, "ATTACH ?1 AS damaged");
        attach.bind(1, readOnlyUri(damaged));
        attach.exec();
        // The rules of the ledger are for those who post; they come back at the end.
        std::vector<std::string> rules;
        SQLite::Statement triggers(database,
                                   "SELECT name, sql FROM main.sqlite_schema WHERE type = 'trigger'");
        std::string dropped;
        while (triggers.executeStep()) {
            dropped += "DROP TRIGGER main." + triggers.getColumn(0).getString() + ";";
            rules.push_back(triggers.getColumn(1).getString());
        }
        database.exec(dropped);
        // Each copy by itself: a damaged page that is met inside a transaction spoils the rest of it.
        database.exec("PRAGMA synchronous = OFF");
        for (const Table& table : tablesOf(database)) {
            if (table.name != "batch_checksums") salvaged.push_back(TableSalvage(database, table).run());
        }
        putStandIns(database, salvaged);
        dropOrphans(database, salvaged);
        SalvagedTable whole;
        try { // what was lost without an error shows in the structure
            SQLite::Statement check(database,
                                    "PRAGMA damaged.integrity_check(" + std::to_string(most_sentences) + ")");
            while (check.executeStep()) {
                if (check.getColumn(0).getString() != "ok")
                    whole.lost.push_back(check.getColumn(0).getString());
            }
        } catch (const SQLite::Exception& error) {
            whole.lost.emplace_back(error.getErrorStr());
        }
        if (!whole.lost.empty()) salvaged.push_back(std::move(whole));
        for (const std::string& rule : rules) database.exec(rule);
    } catch (const SQLite::Exception& error) {
        throwTranslated(error, damaged);
    }
    return salvaged;
}

std::vector<std::string> unreadableValues(SqliteConnection& connection, std::size_t most) {
    std::vector<std::string> sentences;
    for (const Table& table : tablesOf(connection.database())) {
        lookAtValues(connection.database(), table, [&](const auto& key, const std::string& problem) {
            if (sentences.size() < most)
                sentences.push_back("a row of " + table.name + " (" + keyText(table, key) +
                                    ") cannot be read: " + problem);
        });
    }
    return sentences;
}

} // namespace shimledger::inventory
