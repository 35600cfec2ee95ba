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
};

/// Moves a shop from a file to a server that is prepared for it (shop_server.h) and holds nothing yet, or
/// from a server to a file that is not there yet: every row of every table, with its numbers, and the ledger
/// with its checksums. Both are compared row by row, and the new one is verified, before it counts. Nobody
/// can write to the old one meanwhile; afterwards it stands for itself no more: a file is kept as
/// "shop.db.moved", a server says where the shop has gone.
///
/// Throws InputError where one of the two is not as it should be (the sentence says how), ShopFileFault when
/// a disk or a server fails; both are then as they were.
[[nodiscard]] ShopMove moveShop(const std::filesystem::path& from, const std::filesystem::path& to);

} // namespace shimledger::inventory
