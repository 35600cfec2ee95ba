// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/part.h"
#include "inventory/shop_file.h"
#include "inventory/stock_snapshot.h"
#include "planner/mechanics/scatter_band.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// What micrometer readings say of a lot, against what its drawer says.
struct LotCheck {
    std::string part;
    std::string what;
    std::string bin;
    inventory::Condition condition = inventory::Condition::fresh;
    std::int64_t on_hand = 0;
    Length nominal;
    inventory::MeasuredThickness measured;
    Length allowed;       ///< the mean may be off by so much
    std::string like;     ///< another shim of the same diameters that it reads more like; else ""
    std::string sentence; ///< "reads 0.118 (3 readings, 0.117 to 0.119): 0.018 above 0.10, beyond 0.012"

    [[nodiscard]] Length off() const { return measured.mean - nominal; } ///< + is thicker
    [[nodiscard]] bool tooFar() const;
};

/// How far a lot's mean may be off: of the tolerance class, or a length of the person's own.
struct AllowedOff {
    planner::ToleranceClass tolerance = planner::ToleranceClass::normal;
    std::optional<Length> own{}; ///< above 0

    [[nodiscard]] Length of(Length nominal) const; ///< to the whole micrometre, downwards
};

/// Readings that are not written down yet, or those of a lot. Throws InputError when the part is unknown or
/// has no thickness; std::logic_error without a reading.
[[nodiscard]] LotCheck checkReadings(inventory::ShopFile& shop, std::string_view part,
                                     const std::vector<Length>& readings, const AllowedOff& allowed = {});

/// Throws InputError where a reading cannot be of that part: a slipped digit, inches, another drawer.
void mustBePlausible(inventory::ShopFile& shop, std::string_view part, Length reading);

/// Every lot that holds something and was read, the farthest off (for its allowance) first; `too_far`: those
/// alone.
[[nodiscard]] std::vector<LotCheck> checkedLots(inventory::ShopFile& shop, const AllowedOff& allowed,
                                                bool too_far);

/// Writes all of the readings down, or none; returns what the lot reads with them. The bin may be scanned.
/// Throws InputError as inventory::addReading, naming which reading, and where there is none.
LotCheck writeReadings(inventory::ShopFile& shop, std::string_view part, std::string_view bin,
                       inventory::Condition condition, const std::vector<Length>& readings,
                       const AllowedOff& allowed = {});

} // namespace shimledger::services
