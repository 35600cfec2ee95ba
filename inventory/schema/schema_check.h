// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/schema/schema_migrations.h"

#include <string>
#include <vector>

namespace shimledger::inventory {

/// The tables, indexes and triggers of the file's schema number ("table parts") that are missing or are not
/// as the steps made them: damaged or meddled with, which SQLite's own check does not look at. What the file
/// has beside them is left alone. Takes about a millisecond.
/// Tables, views, indexes and triggers that no version of this program makes.
[[nodiscard]] std::vector<std::string> foreignDefinitions(ShopConnection& connection,
                                                          std::span<const Migration> migrations);

[[nodiscard]] std::vector<std::string> wrongDefinitions(ShopConnection& connection,
                                                        std::span<const Migration> migrations);

} // namespace shimledger::inventory
