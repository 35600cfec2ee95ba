// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/shop_server.h"

#include "inventory/shop_address.h"
#include "inventory/storage/postgres/server_address.h"
#include "inventory/storage/postgres/server_roles.h"
#include "inventory/storage/postgres/server_shop.h"
#include "inventory/storage/server_copy.h"
#include "inventory/storage/transaction.h"
#include "planner/units/input_error.h"

namespace shimledger::inventory {

namespace {

void bringUpToDate(ServerConnection& connection, const std::filesystem::path& backup) {
    WriteTransaction nobody_writes(connection);
    connection.allowSilence();
    copyServerShop(connection, backup, shopMigrations());
    migrate(connection, shopMigrations());
    nobody_writes.commit();
}

} // namespace

std::vector<std::string> prepareServer(const std::filesystem::path& address,
                                       const std::filesystem::path& backup) {
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
        if (backup.empty()) {
            throw InputError("the shop at " + address.string() + " is of an older version (schema " +
                             std::to_string(before) +
                             "): name a file for its backup, 'shimledger server prepare " + address.string() +
                             " --backup FILE', and it is brought up to date");
        }
        bringUpToDate(connection, backup);
        done.push_back("the shop as it was is in " + backup.string());
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
