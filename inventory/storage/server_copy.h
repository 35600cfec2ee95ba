// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/schema/schema_migrations.h"
#include "inventory/storage/postgres/server_connection.h"

#include <filesystem>
#include <span>

namespace shimledger::inventory {

/// Copies one unchanging state of a shop on a server into a new shop file of the same schema, which may be an
/// older one, while others go on working: every row is compared, and the file is looked through and synced
/// before it gets its name. Throws InputError when `path` exists or its folder does not, ShopFileFault when
/// disk or server fail.
void copyServerShop(ServerConnection& source, const std::filesystem::path& path,
                    std::span<const Migration> migrations);

} // namespace shimledger::inventory
