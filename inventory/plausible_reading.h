// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/units/length.h"

#include <string>

namespace shimledger::inventory {

/// Throws InputError where a reading is below half or above double the part's nominal thickness: a slipped
/// digit, inches, or another drawer.
void mustBeReadingOf(const std::string& part, Length nominal, Length reading);

} // namespace shimledger::inventory
