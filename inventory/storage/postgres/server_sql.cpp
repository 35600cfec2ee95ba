// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/postgres/server_sql.h"

#include <cctype>
#include <regex>
#include <stdexcept>

namespace shimledger::inventory {

namespace {

bool isWordSign(char c) {
    return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_';
}

/// Whole words outside of quotes, by `change`.
template <class Change>
std::string withWordsChanged(std::string_view sql, const Change& change) {
    std::string text;
    for (std::size_t i = 0; i < sql.size();) {
        if (sql[i] == '\'') {
            const std::size_t end = sql.find('\'', i + 1);
            if (end == std::string_view::npos) throw std::logic_error("a quote without its end in SQL");
            text.append(sql.substr(i, end + 1 - i));
            i = end + 1;
        } else if (isWordSign(sql[i])) {
            std::size_t end = i;
            while (end < sql.size() && isWordSign(sql[end])) ++end;
            text.append(change(sql.substr(i, end - i)));
            i = end;
        } else {
            text += sql[i++];
        }
    }
    return text;
}

std::string tableForServer(std::string_view statement) {
    std::string text = std::regex_replace(
        std::string(statement), std::regex(R"(\)\s*(STRICT|WITHOUT ROWID)(\s*,\s*WITHOUT ROWID)?\s*$)"), ")");
    return withWordsChanged(text, [](std::string_view word) -> std::string {
        if (word == "INTEGER") return "BIGINT";
        if (word == "TEXT") return "TEXT COLLATE \"C\"";
        return std::string(word);
    });
}

std::vector<std::string> tableWithNumbers(std::string_view statement) {
    std::vector<std::string> all{tableForServer(statement)};
    static const std::regex numbered(R"(^CREATE TABLE (\w+) \(\s*(\w+) INTEGER PRIMARY KEY,)");
    std::match_results<std::string_view::const_iterator> found;
    if (!std::regex_search(statement.begin(), statement.end(), found, numbered)) return all;
    const std::string table = found[1];
    const std::string column = found[2];
    // As SQLite numbers: one more than the greatest, without gaps. Whoever writes has the turn alone.
    all.push_back("CREATE OR REPLACE FUNCTION " + table +
                  "_next() RETURNS trigger LANGUAGE plpgsql AS $body$ BEGIN NEW." + column +
                  " := (SELECT coalesce(max(" + column + "), 0) + 1 FROM " + table +
                  "); RETURN NEW; END $body$");
    all.push_back("CREATE TRIGGER " + table + "_numbered BEFORE INSERT ON " + table +
                  " FOR EACH ROW WHEN (NEW." + column + " IS NULL) EXECUTE FUNCTION " + table + "_next()");
    return all;
}

std::vector<std::string> triggerForServer(std::string_view statement) {
    static const std::regex refusal(
        R"(^CREATE TRIGGER (\w+) BEFORE (UPDATE|DELETE) ON (\w+)\s+BEGIN SELECT RAISE\(ABORT, '([^']*)'\); END$)");
    std::match_results<std::string_view::const_iterator> found;
    if (std::regex_match(statement.begin(), statement.end(), found, refusal)) {
        const std::string name = found[1];
        const std::string table = found[3];
        std::vector<std::string> all{"CREATE TRIGGER " + name + " BEFORE " + found[2].str() + " ON " + table +
                                     " FOR EACH ROW EXECUTE FUNCTION shop_refuses('" + found[4].str() + "')"};
        if (found[2] == "DELETE") {
            all.push_back("CREATE TRIGGER " + name + "_all BEFORE TRUNCATE ON " + table +
                          " FOR EACH STATEMENT EXECUTE FUNCTION shop_refuses('" + found[4].str() + "')");
        }
        return all;
    }
    // INSERT OR REPLACE is SQLite's alone; here a second row of one number is refused by the key.
    if (statement.find("_never_replaced BEFORE INSERT") != std::string_view::npos) return {};
    throw std::logic_error("a trigger that has no counterpart on a server: " + std::string(statement));
}

} // namespace

std::string queryForServer(std::string_view sql, std::span<const PreparedStatement::Kind> kinds) {
    std::string text;
    for (std::size_t i = 0; i < sql.size(); ++i) {
        if (sql[i] == '\'') {
            const std::size_t end = sql.find('\'', i + 1);
            if (end == std::string_view::npos) throw std::logic_error("a quote without its end in SQL");
            text.append(sql.substr(i, end + 1 - i));
            i = end;
        } else if (sql[i] == '?') {
            std::size_t number = 0;
            std::size_t end = i + 1;
            for (; end < sql.size() && std::isdigit(static_cast<unsigned char>(sql[end])) != 0; ++end)
                number = 10 * number + static_cast<std::size_t>(sql[end] - '0');
            if (number == 0 || number > kinds.size())
                throw std::logic_error("a value without its number in: " + std::string(sql));
            text.append("$").append(std::to_string(number));
            text.append(kinds[number - 1] == PreparedStatement::Kind::integer ? "::bigint" : "::text");
            i = end - 1;
        } else {
            text += sql[i];
        }
    }
    return text;
}

std::vector<std::string> definitionForServer(std::string_view statement) {
    const auto begins = [&](std::string_view word) { return statement.substr(0, word.size()) == word; };
    if (begins("CREATE TABLE")) return tableWithNumbers(statement);
    if (begins("CREATE TRIGGER")) return triggerForServer(statement);
    return {tableForServer(statement)};
}

} // namespace shimledger::inventory
