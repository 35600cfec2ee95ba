// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/calendar.h"
#include "inventory/part.h"
#include "inventory/shop_file.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

/// One micrometer reading of a disc out of a lot.
struct ThicknessReading {
    std::string part;
    std::string bin;
    Condition condition = Condition::fresh;
    Length reading;
    UtcTime utc;

    bool operator==(const ThicknessReading&) const = default;
};

/// Stores a reading. Throws InputError: unknown part or bin, a part without a thickness, or a reading below
/// half or above double the nominal thickness (a slipped digit, inches, or another drawer).
void addReading(ShopFile& shop, const ThicknessReading& reading);

[[nodiscard]] std::vector<ThicknessReading> readingsOfPart(const ShopFile& shop, std::string_view part);

} // namespace shimledger::inventory
