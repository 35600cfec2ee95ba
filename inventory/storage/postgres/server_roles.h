// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/schema/schema_migrations.h"
#include "inventory/storage/postgres/server_connection.h"

#include <span>
#include <string>
#include <vector>

namespace shimledger::inventory {

struct RoleRight {
    std::string role, right, table; ///< "shimledger_bench", "INSERT", "movements"

    [[nodiscard]] std::string text() const { return right + " ON " + table + " TO " + role; }
};

/// Every right that giveRoles gives on a table, but those of the owner.
[[nodiscard]] std::vector<RoleRight> rightsOfRoles(std::span<const Migration> migrations);

/// Makes the roles that are missing and gives them what is theirs in this shop, as shop_server.h says; all or
/// nothing. Throws InputError where this user may not.
void giveRoles(ServerConnection& connection);

} // namespace shimledger::inventory
