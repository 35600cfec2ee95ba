// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/stock_snapshot.h"

#include <vector>

namespace shimledger::inventory {

/// Mean, spread and the rest of one reading or more; throws std::logic_error of none.
[[nodiscard]] MeasuredThickness measuredOf(const std::vector<Length>& readings);

} // namespace shimledger::inventory
