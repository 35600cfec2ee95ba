// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/typed_length.h"

#include <string>
#include <string_view>

namespace shimledger::services {

/// A stack as people write or copy it, in the notation that planner::parseStackText() reads: decimal commas,
/// units, cells of a spreadsheet beside each other. A comma between digits may be of decimals or part two
/// rows: what can be read both ways is refused, as is what cannot be read. Throws InputError.
[[nodiscard]] std::string stackInMillimetres(std::string_view text, SizeUnit bare = SizeUnit::millimetres);

} // namespace shimledger::services
