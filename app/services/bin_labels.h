// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/shop_file.h"

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// A QR code as a square of modules, without its quiet zone (4 modules, ISO/IEC 18004).
struct QrMark {
    std::size_t side = 0;
    std::vector<bool> dark; ///< row by row, side * side

    [[nodiscard]] bool at(std::size_t row, std::size_t column) const { return dark[row * side + column]; }
};

/// The text as it stands, error correction level M. Throws InputError when it is empty or longer than 200
/// bytes.
[[nodiscard]] QrMark qrMark(std::string_view text);

/// What is printed on the front of a drawer compartment. The mark is the bin's code, nothing else: a scanner
/// types it.
struct BinLabel {
    std::string bin;
    std::string cabinet;
    std::vector<std::string> contents; ///< "shim 24.0 x 6.0 x 0.10", each once
    QrMark mark;
};

/// What of the contents has room in so many lines of so many letters, a line break at words allowed; then how
/// many more there are.
[[nodiscard]] std::vector<std::string> contentsWithin(const BinLabel& label, std::size_t letters_a_line,
                                                      std::size_t most_lines);

/// Labels of the named bins, or, where none is named, of all bins of the cabinet, or of all; in walking
/// order.
[[nodiscard]] std::vector<BinLabel> binLabels(inventory::ShopFile& shop, const std::vector<std::string>& bins,
                                              const std::string& cabinet = {});

} // namespace shimledger::services
