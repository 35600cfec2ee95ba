// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/storage/shop_connection.h"

#include <cstdint>
#include <optional>
#include <vector>

namespace shimledger::inventory {

/// What issued_pieces.h means, as row numbers.
struct IssuedLot {
    std::int64_t part = 0;
    int condition = 0;
    std::int64_t wanted_part = 0; ///< the part itself where it stands in for none
    std::int64_t quantity = 0;
};

struct IssuedNet {
    std::vector<IssuedLot> out; ///< in the order in which they were issued; none of 0
    /// Of the part that was asked for: discs found by the strip that may still come back; 0 without one.
    std::int64_t found_and_not_back = 0;

    [[nodiscard]] std::int64_t of(int condition) const;
    [[nodiscard]] std::int64_t all() const { return of(0) + of(1); }
};

/// Of all parts, or of one.
[[nodiscard]] IssuedNet issuedNet(ShopConnection& connection, std::int64_t job,
                                  std::optional<std::int64_t> part = {});

/// New pieces of the part that were issued without a job and have not come back. Used ones may come from
/// anywhere.
[[nodiscard]] std::int64_t issuedWithoutJob(ShopConnection& connection, std::int64_t part);

} // namespace shimledger::inventory
