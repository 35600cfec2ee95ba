// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/shop_file.h"

#include <filesystem>
#include <optional>

namespace shimledger::inventory {

/// Copies the shop by SQLite's online backup, or row by row from a server, while others may go on working.
/// The copy is written under a temporary name beside `path`, checked, and then given its name, so that a file
/// called `path` is always whole; it has the owner and the mode of the shop file, or is this user's alone.
/// Throws InputError when `path` exists already, ShopFileFault when the copy cannot be written.
void backupShopFile(const ShopFile& shop, const std::filesystem::path& path);

/// How many daily backups are kept where nothing else is said.
inline constexpr int daily_backups_kept = 14;

/// The first call of a day (UTC, by the shop's clock) makes a backup "shop-2026-11-25.db" in the folder
/// "shop-backups" beside the shop file, and removes daily ones beyond the `keep` (1 or more) latest days; the
/// new one always stays, also after a clock that jumped back. Backups from before a schema step
/// ("shop-before-schema-3.db", made by opening an older file) are never removed. Returns the new backup; none
/// where the day has one, and none of a server's shop. Throws as backupShopFile.
std::optional<std::filesystem::path> backupDaily(const ShopFile& shop, int keep = daily_backups_kept);

/// Puts a backup in the place of a shop file that is lost or damaged; no program may have that file open. The
/// backup is opened and looked through first. What was at `path`, with its write-ahead log, is kept beside it
/// as "shop.db.replaced", "shop.db.replaced-2" and so on, which is returned; none where nothing was there.
/// The restored file has the owner and mode of the one that it replaces. Throws InputError when the backup is
/// no shop file or a program has the file at `path` open, ShopFileFault when it is damaged or cannot be
/// copied or renamed; the file at `path` is then as it was.
std::optional<std::filesystem::path> restoreShopFile(const std::filesystem::path& backup,
                                                     const std::filesystem::path& path);

} // namespace shimledger::inventory
