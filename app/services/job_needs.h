// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/job.h"
#include "inventory/part_catalogue.h"
#include "inventory/shop_file.h"

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// How many of one consumable a job still wants: what its list says, less what is reserved for it or has been
/// issued to it and not come back (issued_pieces.h).
struct ConsumableNeed {
    inventory::Part part;
    std::int64_t wanted = 0;   ///< by the list, all legs
    std::int64_t reserved = 0; ///< for this job
    std::int64_t issued = 0;   ///< to this job, net of returns

    [[nodiscard]] std::int64_t open() const {
        const std::int64_t rest = wanted - reserved - issued;
        return rest > 0 ? rest : 0;
    }
};

[[nodiscard]] std::vector<ConsumableNeed> consumableNeeds(inventory::ShopFile& shop, std::string_view job);

/// The catalogue's shims of this size; several may differ in material.
[[nodiscard]] std::vector<std::string> shimParts(const std::vector<inventory::Part>& shims, Length od,
                                                 Length id, Length thickness);

/// The same, looked up: what a look at one job needs of a large catalogue.
[[nodiscard]] std::vector<std::string> shimsOfSize(inventory::ShopFile& shop, Length od, Length id,
                                                   Length thickness);

/// "2 x OS-48-59-11 (oil seal 48.0 x 59.0 x 11.0)": with its unit where that is not the piece.
[[nodiscard]] std::string quantityText(std::int64_t quantity, const inventory::Part& part);

} // namespace shimledger::services
