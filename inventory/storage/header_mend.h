// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/schema/schema_migrations.h"

#include <filesystem>
#include <optional>
#include <span>

namespace shimledger::inventory {

/// Where the first 100 bytes of a shop file are damaged (SQLite would read none of it), or name a schema that
/// its tables do not have, writes a copy with a sound header to `copy`, for this user alone, and returns the
/// number of its schema; nothing where the file can be read as it is. The file itself is left as it is.
/// Throws InputError when it holds no table of a shop; ShopFileFault when the disk fails.
[[nodiscard]] std::optional<std::int64_t> mendHeader(const std::filesystem::path& damaged,
                                                     const std::filesystem::path& copy,
                                                     std::span<const Migration> migrations);

} // namespace shimledger::inventory
