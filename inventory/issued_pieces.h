// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/part.h"
#include "inventory/shop_file.h"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

/// What has left the drawers for a job and has not come back, one entry for each part, condition and purpose;
/// none of 0.
struct IssuedPieces {
    std::string part;
    Condition condition = Condition::fresh;
    std::string wanted_part; ///< the part that it stands in for; empty: itself
    std::int64_t quantity = 0;

    bool operator==(const IssuedPieces&) const = default;
};

/// The one meaning of "issued, net of returns", by part, condition and purpose. An issue or a return that was
/// undone never was. What comes back new was issued new. What comes back used may be a disc that the strip
/// found (of that diameter, within a tenth of that thickness): as long as not all of those are back, it is
/// one of them. Beyond that it was issued, used or else new (a disc that was in the component comes back
/// used). Of several purposes the one that was issued last comes back first. Throws InputError when there is
/// no such job.
[[nodiscard]] std::vector<IssuedPieces> issuedPieces(const ShopFile& shop, std::string_view job);

} // namespace shimledger::inventory
