// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/units/length.h"

#include <string>

namespace shimledger::inventory {

/// What has probably happened to a reading that is far from its nominal size: "it is ten times 0.15 mm: has a
/// digit slipped?", "0.0059 inch is 0.15 mm: was it read in inches?", or else "check the digits and the
/// drawer".
[[nodiscard]] std::string slipHint(Length reading, Length nominal);

/// True where a reading cannot be of a disc of that nominal thickness: below half or above double.
[[nodiscard]] bool farFrom(Length reading, Length nominal);

} // namespace shimledger::inventory
