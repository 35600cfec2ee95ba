// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/schema/schema_migrations.h"
#include "inventory/storage/sqlite/sqlite_connection.h"

#include <string>
#include <vector>

namespace shimledger::inventory {

/// How the tables, views, indexes and triggers of a file ("table parts") differ from what the steps up to its
/// schema number make.
struct SchemaDifferences {
    /// Missing or not as the steps made them: damaged or meddled with, which SQLite's own check does not look
    /// at.
    std::vector<std::string> wrong;
    std::vector<std::string> foreign; ///< made by no version of this program
    std::size_t right = 0;            ///< how many are as the steps made them
};

/// Takes about a millisecond.
[[nodiscard]] SchemaDifferences schemaDifferences(SqliteConnection& connection,
                                                  std::span<const Migration> migrations);

} // namespace shimledger::inventory
