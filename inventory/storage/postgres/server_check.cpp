// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/postgres/server_check.h"

#include "inventory/inventory_error.h"
#include "inventory/storage/postgres/server_roles.h"
#include "inventory/storage/postgres/server_shop.h"

#include <pqxx/result>

#include <map>
#include <regex>
#include <set>

namespace shimledger::inventory {

namespace {

using Definitions = std::map<std::string, std::string>; // "trigger movements_never_change", what it is

std::string listOfTables(std::span<const Migration> migrations) {
    std::string list;
    for (const std::string& name : serverTableNames(migrations))
        list += (list.empty() ? "'" : ", '") + name + "'";
    return list;
}

/// What the catalogue says of these tables, in the schema of the connection or in its temporary one. Names of
/// schemas are taken out, as they are what differs.
Definitions definitionsIn(ServerConnection& connection, const std::string& tables,
                          const std::string& schema_oid) {
    const std::string sql = R"(
        WITH ours AS (SELECT c.oid, c.relname, c.relkind, c.relrowsecurity FROM pg_class c
                      WHERE c.relnamespace = )" +
                            schema_oid + R"( AND c.relname IN ()" + tables + R"()),
        triggers AS (SELECT t.*, o.relname FROM pg_trigger t JOIN ours o ON o.oid = t.tgrelid)
        SELECT 'table ' || relname, relkind::text || relrowsecurity::text ||
            coalesce((SELECT string_agg(attname || ' ' || format_type(atttypid, atttypmod) || ' ' || attnotnull::text ||
                ' ' || coalesce(l.collname, '') || ' ' || coalesce(pg_get_expr(d.adbin, d.adrelid), ''), ', '
                ORDER BY attnum) FROM pg_attribute a LEFT JOIN pg_collation l ON l.oid = a.attcollation
                LEFT JOIN pg_attrdef d ON d.adrelid = a.attrelid AND d.adnum = a.attnum
                WHERE a.attrelid = o.oid AND a.attnum > 0 AND NOT a.attisdropped), '') || '; ' ||
            coalesce((SELECT string_agg(conname || ' ' || pg_get_constraintdef(k.oid), ', ' ORDER BY conname)
                FROM pg_constraint k WHERE k.conrelid = o.oid AND k.contype <> 't'), '') || '; ' ||
            coalesce((SELECT string_agg(tgenabled::text, '' ORDER BY tgenabled) FROM triggers t
                WHERE t.tgrelid = o.oid AND t.tgisinternal), '') || '; ' ||
            coalesce((SELECT string_agg(rulename, ' ') FROM pg_rewrite r WHERE r.ev_class = o.oid), '') || '; ' ||
            (SELECT count(*) FROM pg_inherits i WHERE o.oid IN (i.inhrelid, i.inhparent))::text
        FROM ours o
        UNION ALL SELECT 'index ' || c.relname, pg_get_indexdef(c.oid, 0, true) || i.indisvalid::text
        FROM ours o JOIN pg_index i ON i.indrelid = o.oid JOIN pg_class c ON c.oid = i.indexrelid
        UNION ALL SELECT 'trigger ' || tgname || ' of ' || relname, tgenabled::text || pg_get_triggerdef(oid, true)
        FROM triggers WHERE NOT tgisinternal
        UNION ALL SELECT DISTINCT 'function ' || p.proname, p.prosrc || p.prosecdef::text
        FROM triggers t JOIN pg_proc p ON p.oid = t.tgfoid WHERE NOT t.tgisinternal)";
    // A function in a temporary schema is always named with it, others where they are out of sight.
    static const std::regex of_schema(
        R"((\bpg_temp(_[0-9]+)?|"[^"]*"|\b[A-Za-z_][A-Za-z_0-9$]*)\.(?=[A-Za-z_"]))");
    Definitions definitions;
    const pqxx::result found = connection.say(sql);
    for (const auto& row : found) {
        const std::string text = row[1].is_null() ? "" : row[1].c_str();
        definitions.emplace(row[0].c_str(), std::regex_replace(text, of_schema, ""));
    }
    return definitions;
}

Definitions definitionsOf(const ServerConnection& shop, std::span<const Migration> migrations,
                          const std::string& tables) {
    // Of its own: temporary tables stand before those of the shop in the sight of their connection.
    ServerConnection aside(shop.path(), Access::readWrite, shop.clock());
    static const std::regex function(R"(\bEXECUTE FUNCTION )");
    std::string sql = "BEGIN READ WRITE; SET LOCAL search_path = pg_temp; "
                      "SET LOCAL client_min_messages = error; ";
    for (const std::string& statement : serverDefinitions(migrations))
        sql += std::regex_replace(statement, function, "EXECUTE FUNCTION pg_temp.") + "; ";
    aside.say(sql);
    Definitions definitions = definitionsIn(aside, tables, "pg_my_temp_schema()");
    aside.say("ROLLBACK");
    return definitions;
}

void compareDefinitions(ServerConnection& connection, std::span<const Migration> migrations,
                        ServerDifferences& differences) {
    const std::string tables = listOfTables(migrations);
    Definitions ours;
    try {
        ours = definitionsOf(connection, migrations, tables);
    } catch (const InputError&) {
        differences.others.emplace_back(
            "the server's tables and triggers were not compared with what this program makes, as this user "
            "may "
            "make no temporary table to compare them with (GRANT TEMPORARY ON DATABASE)");
        return;
    }
    const Definitions there = definitionsIn(
        connection, tables, "(SELECT relnamespace FROM pg_class WHERE oid = to_regclass('shop_schema'))");
    for (const auto& [name, definition] : ours) {
        const auto found = there.find(name);
        if (found != there.end() && found->second == definition) continue;
        const bool table = name.rfind("table ", 0) == 0;
        (table ? differences.tables : differences.others)
            .push_back("the server's " + name +
                       (found == there.end() ? " is missing" : " is not as this program made it"));
    }
    for (const auto& [name, definition] : there) {
        if (ours.find(name) == ours.end())
            differences.others.push_back("the server holds " +
                                         std::string(name.rfind("index", 0) == 0 ? "an " : "a ") + name +
                                         ", which this program did not make");
    }
}

/// Rights of others than the owner, of tables and of single columns.
void compareRights(ServerConnection& connection, std::span<const Migration> migrations,
                   ServerDifferences& differences) {
    const pqxx::result found = connection.say(R"(
        WITH ours AS (SELECT c.oid, c.relname, c.relowner, c.relacl FROM pg_class c WHERE c.relnamespace =
            (SELECT relnamespace FROM pg_class WHERE oid = to_regclass('shop_schema')) AND c.relname IN ()" +
                                              listOfTables(migrations) + R"())
        SELECT relname, coalesce(r.rolname, 'PUBLIC'), x.privilege_type FROM
            (SELECT relname, relowner, a.grantee, a.privilege_type FROM ours, aclexplode(relacl) a
             UNION SELECT relname, relowner, a.grantee, a.privilege_type FROM ours
             JOIN pg_attribute t ON t.attrelid = ours.oid, aclexplode(t.attacl) a) x
        LEFT JOIN pg_roles r ON r.oid = x.grantee WHERE x.grantee <> x.relowner ORDER BY 1, 2, 3)");
    std::set<std::string> missing;
    for (const RoleRight& right : rightsOfRoles(migrations)) missing.insert(right.text());
    const std::set<std::string> given = missing;
    bool with_roles = false;
    for (const auto& row : found) {
        const RoleRight right{row[1].c_str(), row[2].c_str(), row[0].c_str()};
        missing.erase(right.text());
        const bool ours = given.count(right.text()) > 0;
        with_roles = with_roles || ours;
        // Who may look is the shop's affair; who may write is not.
        if (ours || right.right == "SELECT") continue;
        differences.others.push_back(
            "the role " + right.role + " may " + right.right + " " + right.table +
            " on the server, which is not its due: 'shimledger server prepare' takes it "
            "from our roles, REVOKE from others");
    }
    if (!with_roles) return; // never prepared: who made the tables uses them alone
    for (const std::string& text : missing)
        differences.others.push_back("on the server " + text +
                                     " is not given: 'shimledger server prepare' gives it");
}

} // namespace

ServerDifferences serverDifferences(ServerConnection& connection, std::span<const Migration> migrations) {
    ServerDifferences differences;
    compareDefinitions(connection, migrations, differences);
    compareRights(connection, migrations, differences);
    return differences;
}

} // namespace shimledger::inventory
