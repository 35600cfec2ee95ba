// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/shop_server.h"

#include "inventory/shop_address.h"
#include "inventory/storage/postgres/server_address.h"
#include "inventory/storage/postgres/server_roles.h"
#include "inventory/storage/postgres/server_shop.h"
#include "planner/units/input_error.h"

namespace shimledger::inventory {

std::vector<std::string> prepareServer(const std::filesystem::path& address) {
    if (!isServerAddress(address)) {
        throw InputError(
            "'" + address.string() +
            "' is no address of a server: write postgresql://host/shop, or make a shop file of a "
            "sheet with 'shimledger stock import --create'");
    }
    checkServerAddress(address.string());
    ServerConnection connection(address, Access::readWrite, systemClock());
    std::vector<std::string> done;
    const int before = connection.schemaNumber();
    if (before == 0) {
        makeServerTables(connection, shopMigrations());
        done.emplace_back("made an empty shop");
    } else if (before > currentSchemaNumber()) {
        static_cast<void>(
            openServerShop(address, Access::readOnly, systemClock(), shopMigrations())); // says why
    } else if (before < currentSchemaNumber()) {
        migrate(connection, shopMigrations());
        done.push_back("brought the shop from schema " + std::to_string(before) + " to " +
                       std::to_string(currentSchemaNumber()));
    } else {
        done.emplace_back("the shop was there already and stays as it is");
    }
    giveRoles(connection);
    done.emplace_back(
        "the roles shimledger_reader, shimledger_bench and shimledger_owner have what is theirs: "
        "GRANT them to the users of the server");
    return done;
}

} // namespace shimledger::inventory
