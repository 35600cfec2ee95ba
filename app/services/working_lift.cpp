// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/working_lift.h"

#include "inventory/model_flow.h"

namespace shimledger::services {

std::optional<double> workingLift(inventory::ShopFile& shop, const inventory::Job& job) {
    const auto told = inventory::ModelFlows(shop).get(job.model, job.valve.name).working_lift;
    return told ? std::optional(told->millimetres()) : std::nullopt;
}

} // namespace shimledger::services
