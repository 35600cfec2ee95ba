// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

namespace shimledger::inventory {

/// A shop is a file, named by its path, or a database on a PostgreSQL server, named by its address as libpq
/// writes it: "postgresql://anna@host:5432/shop?sslmode=verify-full". Either stands wherever a shop is named.
[[nodiscard]] bool isServerAddress(const std::filesystem::path& shop);

/// Throws InputError, with what would be right, unless this is the address of a server: it names a database,
/// and holds neither a password nor characters that belong to none. Nobody is asked.
void checkServer(const std::filesystem::path& shop);

/// The address of a server without user and parameters, the path of a file as it is: for titles.
[[nodiscard]] std::string shownPlace(const std::filesystem::path& shop);

/// Nothing at all is at that path, so that nothing can be opened. Of a server only asking it tells.
[[nodiscard]] bool nothingIsAt(const std::filesystem::path& shop);

/// Throws InputError for the address of a server: `sentence` says what is for files alone and what to do
/// instead.
void refuseServer(const std::filesystem::path& shop, std::string_view sentence);

} // namespace shimledger::inventory
