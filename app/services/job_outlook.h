// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/reorder.h"
#include "app/services/reorder_need.h"

#include <vector>

namespace shimledger::services {

/// What open jobs lack, when it will be there under the plan's orders and those that are on their way, and,
/// of what cannot come by its due day, what could be done. The late jobs first, then by urgency.
[[nodiscard]] std::vector<JobOutlook> jobOutlooks(const ReorderInputs& inputs,
                                                  const std::vector<PartNeed>& needs,
                                                  const std::vector<SupplierOrder>& orders);

} // namespace shimledger::services
