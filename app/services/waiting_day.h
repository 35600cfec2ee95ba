// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/money.h"

namespace shimledger::services {

/// What a job costs that waits a day beyond its due date, in hundredths of whatever currency its parts are
/// offered in: two units, a guess without a source that every shop should replace by its own.
inline constexpr inventory::Hundredths usual_waiting_day = 200;

} // namespace shimledger::services
