// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/schema/schema_migrations.h"
#include "inventory/storage/sqlite/sqlite_connection.h"

#include <filesystem>
#include <span>

namespace shimledger::inventory {

/// Copies what is committed by SQLite's online backup, while others may go on working: written under a
/// temporary name beside `path`, opened and looked through as a shop file of one of `migrations`, synced, and
/// only then given its name. Throws InputError when `path` exists or its folder does not, ShopFileFault when
/// it cannot be written.
void copyShopFile(SqliteConnection& source, const std::filesystem::path& path,
                  std::span<const Migration> migrations);

/// Gives `to` the owner (where this user may) and the mode of `from`: a copy holds the same customers' names.
void takeOwnerAndMode(const std::filesystem::path& from, const std::filesystem::path& to);

/// Where the automatic backups of a shop file lie: for "shop.db" the folder "shop-backups" beside it.
[[nodiscard]] std::filesystem::path backupFolderOf(const std::filesystem::path& shop_file);

/// The copy that is made before a schema step: "shop-backups/shop-before-schema-3.db", with a number behind
/// where that name is taken. Throws ShopFileFault when it cannot be made.
std::filesystem::path copyBeforeMigration(SqliteConnection& source, std::span<const Migration> migrations);

} // namespace shimledger::inventory
