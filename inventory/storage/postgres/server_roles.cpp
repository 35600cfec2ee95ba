// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/postgres/server_roles.h"

#include "inventory/schema/schema_migrations.h"
#include "inventory/storage/postgres/server_shop.h"

#include <pqxx/result>

#include <algorithm>
#include <array>
#include <string>
#include <string_view>

namespace shimledger::inventory {

namespace {

// Rows of these are only ever added; shop_schema and shop_moved are the owner's.
constexpr std::array<std::string_view, 3> only_added{"movements", "batch_checksums", "master_changes"};
constexpr std::array<std::string_view, 2> owners_own{"shop_schema", "shop_moved"};

template <class Names>
bool isAmong(const Names& names, const std::string& name) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

/// One statement for each table or function, made by the server itself, which quotes the names.
void forEach(ServerConnection& connection, const std::string& select) {
    const pqxx::result statements = connection.say(select);
    for (const auto& row : statements) connection.say(row[0].c_str());
}

void makeRole(ServerConnection& connection, const std::string& role) {
    if (!connection.say("SELECT 1 FROM pg_roles WHERE rolname = '" + role + "'").empty()) return;
    connection.say("CREATE ROLE " + role + " NOLOGIN");
}

/// The tables of the shop: a database may hold others.
std::string fromOurTables() {
    std::string list;
    for (const std::string& name : serverTableNames(shopMigrations()))
        list += (list.empty() ? "'" : ", '") + name + "'";
    return " FROM pg_tables WHERE schemaname = current_schema() AND tablename IN (" + list + ")";
}

void giveToOwner(ServerConnection& connection) {
    // Whoever hands a table over must belong to the one who gets it.
    const pqxx::result member = connection.say(
        "SELECT pg_has_role(current_user, 'shimledger_owner', 'MEMBER'), quote_ident(current_user)");
    if (std::string_view(member[0][0].c_str()) != "t")
        connection.say("GRANT shimledger_owner TO " + std::string(member[0][1].c_str()));
    forEach(connection,
            "SELECT format('GRANT CREATE, USAGE ON SCHEMA %I TO shimledger_owner', current_schema())");
    forEach(connection, "SELECT format('ALTER TABLE %I OWNER TO shimledger_owner', tablename)" +
                            fromOurTables() + " AND tableowner <> 'shimledger_owner'");
    forEach(connection, "SELECT DISTINCT format('ALTER FUNCTION %I() OWNER TO shimledger_owner', p.proname) "
                        "FROM pg_trigger t "
                        "JOIN pg_proc p ON p.oid = t.tgfoid JOIN pg_class c ON c.oid = t.tgrelid "
                        "JOIN pg_namespace n ON n.oid = c.relnamespace AND n.oid = p.pronamespace "
                        "WHERE n.nspname = current_schema() AND NOT t.tgisinternal "
                        "AND pg_get_userbyid(c.relowner) = 'shimledger_owner' "
                        "AND pg_get_userbyid(p.proowner) <> 'shimledger_owner'");
}

void giveRights(ServerConnection& connection) {
    forEach(connection, "SELECT format('GRANT USAGE ON SCHEMA %I TO shimledger_reader, shimledger_bench', "
                        "current_schema())");
    // Imports put aside in temporary tables what waits for its turn.
    forEach(connection,
            "SELECT format('GRANT TEMPORARY ON DATABASE %I TO shimledger_bench, shimledger_reader', "
            "current_database())"); // and a proof compares the tables with others
    forEach(connection,
            "SELECT format('REVOKE ALL ON %I FROM PUBLIC, shimledger_reader, shimledger_bench', tablename)" +
                fromOurTables());
    for (const RoleRight& right : rightsOfRoles(shopMigrations())) connection.say("GRANT " + right.text());
}

} // namespace

std::vector<RoleRight> rightsOfRoles(std::span<const Migration> migrations) {
    std::vector<RoleRight> rights;
    for (const std::string& table : serverTableNames(migrations)) {
        rights.push_back({"shimledger_reader", "SELECT", table});
        rights.push_back({"shimledger_bench", "SELECT", table});
        if (isAmong(owners_own, table)) continue;
        rights.push_back({"shimledger_bench", "INSERT", table});
        if (isAmong(only_added, table)) continue;
        rights.push_back({"shimledger_bench", "UPDATE", table});
        rights.push_back({"shimledger_bench", "DELETE", table});
    }
    return rights;
}

void giveRoles(ServerConnection& connection) {
    connection.say("BEGIN");
    try {
        connection.say("SELECT pg_advisory_xact_lock(hashtext('shimledger shop'))");
        for (const char* role : {"shimledger_reader", "shimledger_bench", "shimledger_owner"})
            makeRole(connection, role);
        giveToOwner(connection);
        giveRights(connection);
        connection.say("COMMIT");
    } catch (...) {
        connection.rollBack();
        throw;
    }
}

} // namespace shimledger::inventory
