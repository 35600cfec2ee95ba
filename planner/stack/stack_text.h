// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/stack/stack_spec.h"

#include <string>
#include <string_view>
#include <vector>

namespace shimledger::planner {

/// The trade's own notation, one row a line or rows parted by commas or semicolons, piston face first:
/// "4 x 24.0 x 0.10" (count x OD x thickness, mm). "24 x 0.15" alone means one disc. A ring adds its
/// bore: "1 x 24.0 x 0.20 ring 19.0". 'x', 'X' and the multiplication sign are all read.
/// Throws InputError naming the row on text that is not a stack.
[[nodiscard]] std::vector<DiscRow> parseStackText(std::string_view text);

/// The same notation, ready to be read back: "4 x 24.0 x 0.10".
[[nodiscard]] std::string rowText(const DiscRow& row);

/// All rows, one a line (or parted by `separator`).
[[nodiscard]] std::string stackText(const std::vector<DiscRow>& rows, std::string_view separator = "\n");

} // namespace shimledger::planner
