// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/schema/schema_check.h"

#include "inventory/storage/query.h"

#include <SQLiteCpp/Database.h>
#include <SQLiteCpp/Statement.h>

#include <map>
#include <set>

namespace shimledger::inventory {

namespace {

constexpr const char* definitions_sql =
    "SELECT type || ' ' || name, tbl_name || ': ' || sql FROM sqlite_schema WHERE sql IS NOT NULL";

/// What the steps up to a number make, by "table parts" and the like.
std::map<std::string, std::string> definitionsOf(std::span<const Migration> migrations, int number) {
    SQLite::Database made(":memory:", SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
    for (const Migration& step : migrations) {
        if (step.number > number) break;
        for (const char* statement : step.statements) made.exec(statement);
    }
    std::map<std::string, std::string> definitions;
    SQLite::Statement query(made, definitions_sql);
    while (query.executeStep()) {
        definitions.emplace(query.getColumn(0).getString(), query.getColumn(1).getString());
    }
    return definitions;
}

} // namespace

SchemaDifferences schemaDifferences(SqliteConnection& connection, std::span<const Migration> migrations) {
    const auto ours = definitionsOf(migrations, schemaNumber(connection));
    SchemaDifferences differences;
    std::set<std::string> right;
    Query query(connection, definitions_sql);
    while (query.next()) {
        const auto expected = ours.find(query.text(0));
        if (expected == ours.end()) {
            differences.foreign.push_back(query.text(0));
        } else if (expected->second == query.text(1)) {
            right.insert(query.text(0));
        }
    }
    for (const auto& [name, definition] : ours) {
        if (!right.contains(name)) differences.wrong.push_back(name);
    }
    differences.right = right.size();
    return differences;
}

} // namespace shimledger::inventory
