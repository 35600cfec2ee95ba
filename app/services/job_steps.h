// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/shop_file.h"
#include "planner/substitute/single_steps.h"

#include <optional>
#include <string_view>

namespace shimledger::services {

/// What each single step from a job's target does to its curve, and whether the drawers have what it takes:
/// what is free, and what is kept for the job itself; up to the lift given, else that of the job's valve,
/// else 0.30 mm. Throws as checkJob, and as planner::singleSteps.
[[nodiscard]] planner::StepTable jobSteps(inventory::ShopFile& shop, std::string_view job,
                                          std::optional<double> working_lift_mm, planner::Regime regime);

} // namespace shimledger::services
