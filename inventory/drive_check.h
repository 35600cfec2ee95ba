// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

namespace shimledger::inventory {

/// The name of a network or user-space file system by its magic number (statfs); empty for a local one. On
/// those, file locks between two machines cannot be trusted and SQLite's write-ahead log needs shared memory
/// that they lack.
[[nodiscard]] std::string_view networkFileSystem(std::int64_t magic);

/// True if this user may write the shop file and beside it, where SQLite keeps its log.
[[nodiscard]] bool mayBeWritten(const std::filesystem::path& shop_file);

/// One sentence of warning where the file (or, when it is not there yet, its folder) lies on such a drive;
/// none where it lies on a local disk or where the system does not say.
[[nodiscard]] std::optional<std::string> driveWarning(const std::filesystem::path& shop_file);

} // namespace shimledger::inventory
