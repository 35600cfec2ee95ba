// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>

namespace shimledger::inventory {

/// What stands beside a shop file that moves to a server ("shop.db.moved-to", a few lines of text), so that
/// whoever opens its old path is told where the shop is, and a move that was broken off can be ended.
struct MoveNote {
    std::string to;             ///< the address
    std::filesystem::path kept; ///< what the file is called since
    std::int64_t movements = 0; ///< of the shop that moved
    std::string last_checksum;  ///< of its last batch
    bool arrived = false;       ///< false: on its way, as far as this computer knows
};

/// None where there is none, or none that can be read.
[[nodiscard]] std::optional<MoveNote> readMoveNote(const std::filesystem::path& shop);
/// On the disk when it returns. Throws FileFault.
void writeMoveNote(const std::filesystem::path& shop, const MoveNote& note);

void removeMoveNote(const std::filesystem::path& shop) noexcept;

/// A shop on its way from a server to that path is made under this name.
[[nodiscard]] std::filesystem::path pathOfArriving(const std::filesystem::path& shop);

/// Throws InputError where nothing is at the path because the shop has moved away from it, or because its
/// move there was broken off: the sentence says what happened and what to do.
void tellMove(const std::filesystem::path& shop);

/// The names in a folder are on the disk when it returns. Throws ShopFileFault.
void syncFolderOf(const std::filesystem::path& file);

} // namespace shimledger::inventory
