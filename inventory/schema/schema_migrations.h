// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/storage/shop_connection.h"

#include <span>
#include <string>
#include <vector>

namespace shimledger::inventory {

/// "SHLG": marks a SQLite file as a shop file.
inline constexpr std::int64_t shop_application_id = 0x53484c47;

/// One numbered step of the schema. Steps that have landed are never changed; a change of the schema is a new
/// step at the end, with a fixture made by the version before it under tests/inventory/data.
struct Migration {
    int number; ///< the schema number after the step
    std::span<const char* const> statements;
    void (*fill)(ShopConnection&) = nullptr; ///< what SQL alone cannot compute, after the statements
};

/// All steps, 1, 2, 3 ...
[[nodiscard]] std::span<const Migration> shopMigrations();
[[nodiscard]] int currentSchemaNumber();

/// The steps up to the one of that number.
[[nodiscard]] std::span<const Migration> stepsUpTo(std::span<const Migration> migrations, int number);

/// The tables that the steps make, those before that others refer to.
[[nodiscard]] std::vector<std::string> tableNames(std::span<const Migration> migrations);

[[nodiscard]] int schemaNumber(ShopConnection& connection);

/// Brings the file to the last of `migrations`. Each step is one transaction together with its number: a step
/// that fails leaves the file as the step before left it. Does nothing to a file that is there already.
void migrate(ShopConnection& connection, std::span<const Migration> migrations);

} // namespace shimledger::inventory
