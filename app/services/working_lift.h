// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/job.h"
#include "inventory/shop_file.h"

#include <optional>

namespace shimledger::services {

/// The lift that the job's valve works up to, mm, as its component model tells it; none: nobody has said.
[[nodiscard]] std::optional<double> workingLift(inventory::ShopFile& shop, const inventory::Job& job);

} // namespace shimledger::services
