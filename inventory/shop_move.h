// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace shimledger::inventory {

struct MovedTable {
    std::string name;
    std::int64_t rows = 0;
};

struct ShopMove {
    std::vector<MovedTable> tables;
    std::int64_t movements = 0;
    std::string checksum;       ///< of the last batch, which those of all others are in; "" without movements
    std::filesystem::path kept; ///< where the old shop is kept, if it was a file
    bool was_broken_off = false; ///< an earlier move had brought it there already, and was ended now
};

/// Moves a shop from a file to a server that is prepared for it (shop_server.h) and holds nothing yet, or
/// from a server to a file that is not there yet: every row of every table, with its numbers, and the ledger
/// with its checksums. Both are compared row by row, and the new one is verified, before it counts. Nobody
/// can write to the old one meanwhile; afterwards it stands for itself no more: a file is kept as
/// "shop.db.moved", and its old path says where the shop is (move_note.h); a server says where the shop has
/// gone.
///
/// At no moment do both count, also not where the program or the computer dies: then the old place says that
/// a move was broken off, and the same move, asked for again, finds out how far it came and ends it.
///
/// Throws InputError where one of the two is not as it should be (the sentence says how), ShopFileFault when
/// a disk or a server fails; both are then as they were.
[[nodiscard]] ShopMove moveShop(const std::filesystem::path& from, const std::filesystem::path& to);

} // namespace shimledger::inventory
