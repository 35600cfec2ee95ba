#pragma once

#include "app/services/reorder.h"

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::services {

/// What one part needs, before anybody chose a supplier.
struct PartNeed {
    ReorderLine line;                            ///< without pack and price
    std::vector<inventory::SupplierPart> offers; ///< that can be used, all in one currency
    std::string currency;                        ///< empty: nobody offers it
    std::optional<std::int64_t> most;            ///< to buy now, by shelf life
    std::int64_t room = 0;                       ///< pieces beyond `wanted` that would still be used in time
    double weeks_covered = 0;                    ///< how long what is there lasts; orders parts by urgency
    bool kept = false;                           ///< in stock, by a reorder point; else bought for jobs alone
    bool low = false; ///< kept, and at the reorder point or below, not counting what is on order
    std::string why;  ///< the reason without its pack
};

/// The needs of all parts, by part code; those that need nothing are there with wanted 0. Appends to `notes`
/// what is wrong with a figure.
[[nodiscard]] std::vector<PartNeed> partNeeds(const ReorderInputs& inputs, std::vector<std::string>& notes);

} // namespace shimledger::services
