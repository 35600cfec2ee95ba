// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/schema/schema_migrations.h"
#include "inventory/storage/postgres/server_connection.h"

#include <memory>
#include <span>
#include <string>
#include <vector>

namespace shimledger::inventory {

/// The one place where a shop on a server is opened. Throws InputError when there is no shop at the address,
/// or when another version of the program has made it; ShopFileFault when the server does not answer.
[[nodiscard]] std::unique_ptr<ServerConnection> openServerShop(const std::filesystem::path& address,
                                                               Access access, WallClock clock,
                                                               std::span<const Migration> migrations);

/// As above, after making the tables of a new, empty shop: all of them or none. Throws InputError when the
/// database holds a shop already, or when this user may not make tables there.
[[nodiscard]] std::unique_ptr<ServerConnection> createServerShop(const std::filesystem::path& address,
                                                                 WallClock clock,
                                                                 std::span<const Migration> migrations);

/// Everything that makes the tables, triggers and functions of a shop, in the server's own SQL.
[[nodiscard]] std::vector<std::string> serverDefinitions(std::span<const Migration> migrations);
/// The tables among them: those of every shop, and those that a server needs beside them.
[[nodiscard]] std::vector<std::string> serverTableNames(std::span<const Migration> migrations);

/// Makes the tables: all or none. Errors as createServerShop.
void makeServerTables(ServerConnection& connection, std::span<const Migration> migrations);

/// Says, as part of the transaction that is going on, that the shop is elsewhere from its end on: nobody
/// opens or writes it here any more.
void markAsMoved(ServerConnection& connection, const std::filesystem::path& place);

/// Whether this user may book entries there, and not only read them.
[[nodiscard]] bool mayBook(ServerConnection& connection);

} // namespace shimledger::inventory
