// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

namespace shimledger::inventory {

/// What could be read of one table of a damaged shop file.
struct RescuedTable {
    std::string file;      ///< "movements.csv"
    std::int64_t rows = 0; ///< lines written, the header not counted
    std::vector<std::string>
        lost; ///< the rows that could not be read and why, a sentence each; at most some twenty
    [[nodiscard]] bool whole() const { return lost.empty(); }
};

/// Reads what can still be read of a shop file that is too damaged to be opened, row by row, and writes it as
/// one CSV file per table (those of exportShopFolder) into a folder that is new or empty. A row that cannot
/// be read is passed over and named; what else names it gets a stand-in ("lost-part-17"). The shop file is
/// not changed. Throws InputError when the folder is not empty or the file is no shop file at all,
/// ShopFileFault when nothing whatever can be read or the folder cannot be written.
[[nodiscard]] std::vector<RescuedTable> rescueShopFile(const std::filesystem::path& shop_file,
                                                       const std::filesystem::path& folder);

} // namespace shimledger::inventory
