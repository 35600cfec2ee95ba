// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/postgres/server_shop.h"

#include "inventory/storage/postgres/server_address.h"
#include "inventory/storage/postgres/server_sql.h"
#include "inventory/storage/query.h"
#include "planner/units/input_error.h"

#include <pqxx/result>

#include <string>

namespace shimledger::inventory {

namespace {

// What a shop on a server needs beside the tables of every shop: the number of its schema, whose turn it is
// to write and what each writer has written last, and how a trigger refuses.
constexpr const char* own_definitions[] = {
    "CREATE TABLE shop_schema (number INTEGER PRIMARY KEY)",
    "CREATE TABLE shop_turn (token TEXT PRIMARY KEY, written BIGINT NOT NULL, at TIMESTAMPTZ NOT NULL)",
    "CREATE TABLE shop_moved (place TEXT NOT NULL, at TIMESTAMPTZ NOT NULL)",
    R"(CREATE FUNCTION shop_refuses() RETURNS trigger LANGUAGE plpgsql AS $body$ BEGIN
        RAISE EXCEPTION '%', TG_ARGV[0]; END $body$)"};

void checkSchema(ServerConnection& connection, int newest) {
    const std::string shop = connection.path().string();
    const ServerConnection::State state = connection.state();
    const int number = state.number;
    if (number == 0) {
        throw InputError("there is no shop at " + shop +
                         ": make an empty one with 'shimledger server prepare " + shop + "'");
    }
    if (state.moved_to)
        throw InputError("the shop at " + shop + " has moved to " + *state.moved_to + ": open it there");
    if (number > newest) {
        throw InputError(shop + " was written by a newer version of this program (schema " +
                         std::to_string(number) + ", this one knows up to " + std::to_string(newest) +
                         "); it was left as it is: use the newer version");
    }
    if (number < newest) {
        throw InputError(shop + " is of an older version (schema " + std::to_string(number) +
                         "): 'shimledger server prepare " + shop +
                         " --backup FILE' by its owner brings it up to date");
    }
}

} // namespace

std::vector<std::string> serverDefinitions(std::span<const Migration> migrations) {
    std::vector<std::string> all(std::begin(own_definitions), std::end(own_definitions));
    for (const Migration& step : migrations) {
        for (const char* statement : step.statements) {
            for (std::string& sql : definitionForServer(statement)) all.push_back(std::move(sql));
        }
    }
    return all;
}

std::vector<std::string> serverTableNames(std::span<const Migration> migrations) {
    std::vector<std::string> names = tableNames(migrations);
    names.insert(names.end(), {"shop_schema", "shop_turn", "shop_moved"});
    return names;
}

void makeServerTables(ServerConnection& connection, std::span<const Migration> migrations) {
    const std::string shop = connection.path().string();
    connection.say("BEGIN");
    try {
        // Two who do this at once: the second finds what the first has made.
        connection.say("SELECT pg_advisory_xact_lock(hashtext('shimledger shop'))");
        if (connection.schemaNumber() > 0) {
            throw InputError(shop + " holds a shop already: a new one needs a database, or a schema of one, "
                                    "where none is");
        }
        std::string all; // at one go, which on a far server is a hundred ways there and back less
        for (const std::string& sql : serverDefinitions(migrations)) all += sql + "; ";
        connection.say(all);
        for (const Migration& step : migrations) connection.setSchemaNumber(step.number);
        connection.say("COMMIT");
    } catch (...) {
        connection.rollBack();
        throw;
    }
}

std::unique_ptr<ServerConnection> openServerShop(const std::filesystem::path& address, Access access,
                                                 WallClock clock, std::span<const Migration> migrations) {
    checkServerAddress(address.string());
    auto connection = std::make_unique<ServerConnection>(address, access, std::move(clock));
    checkSchema(*connection, migrations.back().number);
    return connection;
}

std::unique_ptr<ServerConnection> createServerShop(const std::filesystem::path& address, WallClock clock,
                                                   std::span<const Migration> migrations) {
    checkServerAddress(address.string());
    auto connection = std::make_unique<ServerConnection>(address, Access::readWrite, std::move(clock));
    makeServerTables(*connection, migrations);
    return connection;
}

void markAsMoved(ServerConnection& connection, const std::filesystem::path& place) {
    Query(connection, "INSERT INTO shop_moved (place, at) VALUES (?1, now())", place.string()).run();
}

bool mayBook(ServerConnection& connection) {
    return std::string_view(connection
                                .say("SELECT has_table_privilege('movements', 'INSERT') AND "
                                     "has_table_privilege('shop_turn', 'UPDATE')")[0][0]
                                .c_str()) == "t";
}

} // namespace shimledger::inventory
