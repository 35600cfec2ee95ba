// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace shimledger {

/// The one of `known` that a mistyped name was most likely meant to be; empty where none is near. Letters in
/// another size count as nothing; else the fewest letters to add, drop, change or swap with their neighbour
/// (Damerau 1964, Levenshtein 1966, in the restricted form), at most one in three of the longer name's. Of
/// equally near ones the first.
[[nodiscard]] std::string nearName(std::string_view typed, const std::vector<std::string>& known);

/// ": did you mean 'JOB-1001'?", to be put behind "there is no job 'JOB-101'"; or, where nothing is near,
/// ": " and `otherwise`.
[[nodiscard]] std::string nearNameText(std::string_view typed, const std::vector<std::string>& known,
                                       std::string_view otherwise);

} // namespace shimledger
