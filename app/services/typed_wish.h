// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/wanted_factor.h"

#include <string>
#include <string_view>

namespace shimledger::services {

/// A wish as a tuner types it: "-10" (a tenth softer at every lift) or points of a lift in mm and per cent,
/// "0.12 -10; 0.20 0". Units may stand there ("0.12 mm -10 %"), the decimal sign may be a comma, and points
/// are parted by a semicolon, or by a comma that is no decimal sign. Throws InputError, one sentence.
[[nodiscard]] planner::WantedFactor typedWish(std::string_view text);

/// The text that typedWish() reads as this wish; "" where nothing else than the target is wanted.
[[nodiscard]] std::string wishForm(const planner::WantedFactor& wish);

} // namespace shimledger::services
