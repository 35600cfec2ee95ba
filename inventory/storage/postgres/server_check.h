// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/schema/schema_migrations.h"
#include "inventory/storage/postgres/server_connection.h"

#include <span>
#include <string>
#include <vector>

namespace shimledger::inventory {

struct ServerDifferences {
    std::vector<std::string> tables; ///< changed or missing tables: what reads by their names may fail
    std::vector<std::string> others; ///< indexes, triggers, functions, rights: one sentence each, as above
};

/// Holds what the server's catalogue says of the shop's tables (columns, keys, checks), indexes, triggers and
/// their functions against what `migrations` make, and the rights of roles against shop_server.h. For the
/// comparison the tables are made once more in a temporary schema of a connection of its own, and given up
/// again; where this user may make none, that is a finding.
[[nodiscard]] ServerDifferences serverDifferences(ServerConnection& connection,
                                                  std::span<const Migration> migrations);

} // namespace shimledger::inventory
