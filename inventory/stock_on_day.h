// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/calendar.h"
#include "inventory/part.h"
#include "inventory/shop_file.h"

#include <cstdint>
#include <string>
#include <vector>

namespace shimledger::inventory {

/// What lay in one bin of one part and condition when a day was over.
struct LotOnDay {
    std::string part;
    std::string bin;
    Condition condition = Condition::fresh;
    std::int64_t on_hand = 0;

    bool operator==(const LotOnDay&) const = default;
};

/// By the ledger alone, in walking order: what was booked up to the end of the day (UTC). Lots of 0 are left
/// out. A correction of a later day is of that day, so that the answer stays the same for good.
[[nodiscard]] std::vector<LotOnDay> stockOnDay(const ShopFile& shop, CalendarDate day);

} // namespace shimledger::inventory
