// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// UTF-8 without its capitals, to compare what was typed: ASCII, Latin, Greek and Cyrillic letters become
/// small ones; everything else, also what is no UTF-8, stays as it is.
[[nodiscard]] std::string folded(std::string_view utf8);

/// The words of a text, folded, parted by blanks.
[[nodiscard]] std::vector<std::string> foldedWords(std::string_view utf8);

} // namespace shimledger::services
