// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/ledger/movement_writer.h"

#include <string>
#include <vector>

namespace shimledger::inventory {

/// What a job loses of its reservation of one lot.
struct CountLoss {
    std::int64_t job = 0;
    std::int64_t wanted_part = 0; ///< the part itself where it stands in for none
    std::int64_t quantity = 0;
    std::string job_code;
    std::string wanted_code;
};

/// Who loses when a count finds less than is reserved: the least urgent job first, of those alike the one
/// that is due last (one without a day is due after all others), then the one reserved last.
[[nodiscard]] std::vector<CountLoss> lossesByCount(ShopConnection& connection, const LotKey& lot,
                                                   std::int64_t counted);

} // namespace shimledger::inventory
