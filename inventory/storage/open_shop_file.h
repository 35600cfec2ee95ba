// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/schema/schema_migrations.h"
#include "inventory/storage/sqlite/sqlite_connection.h"

#include <filesystem>
#include <memory>
#include <span>

namespace shimledger::inventory {

/// The one place where a shop file is opened: looks at the file before SQLite does, opens, sets and checks
/// the pragmas, looks for damage, migrates (after a backup of the older file). `migrations` is what this
/// program knows; tests hand in others. Errors as said in shop_file.h.
[[nodiscard]] std::unique_ptr<SqliteConnection> openShopFile(const std::filesystem::path& path, Access access,
                                                             WallClock clock,
                                                             std::span<const Migration> migrations);

/// For reading, whatever schema up to the newest it has; nothing is changed.
[[nodiscard]] std::unique_ptr<SqliteConnection> openBackup(const std::filesystem::path& path, WallClock clock,
                                                           std::span<const Migration> migrations);

/// As above, after making a new file at a path where nothing is yet. Leaves nothing behind if it fails.
[[nodiscard]] std::unique_ptr<SqliteConnection>
createShopFile(const std::filesystem::path& path, WallClock clock, std::span<const Migration> migrations);

} // namespace shimledger::inventory
