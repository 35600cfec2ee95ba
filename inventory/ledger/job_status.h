// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/storage/shop_connection.h"

#include <cstdint>

namespace shimledger::inventory {

/// Open, reserved and pulled follow from the ledger; a job that is closed or cancelled stays so.
void refreshJobStatus(ShopConnection& connection, std::int64_t job);

} // namespace shimledger::inventory
