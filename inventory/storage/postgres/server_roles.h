// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/storage/postgres/server_connection.h"

namespace shimledger::inventory {

/// Makes the roles that are missing and gives them what is theirs in this shop, as shop_server.h says; all or
/// nothing. Throws InputError where this user may not.
void giveRoles(ServerConnection& connection);

} // namespace shimledger::inventory
