#pragma once

#include "inventory/shop_file.h"

#include <filesystem>

namespace shimledger::inventory {

/// Copies the shop file by SQLite's online backup, while others may go on working. The copy is written under
/// a temporary name beside `path`, checked, and then given its name, so that a file called `path` is always
/// whole. Throws InputError when `path` exists already, ShopFileFault when the copy cannot be written.
void backupShopFile(const ShopFile& shop, const std::filesystem::path& path);

} // namespace shimledger::inventory
