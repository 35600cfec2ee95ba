// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/shop_file.h"
#include "planner/substitute/single_steps.h"

#include <string_view>

namespace shimledger::services {

/// What each single step from a job's target does to its curve, and whether the drawers have what it takes:
/// what is free, and what is kept for the job itself. Throws as checkJob, and as planner::singleSteps.
[[nodiscard]] planner::StepTable jobSteps(inventory::ShopFile& shop, std::string_view job,
                                          double working_lift_mm, planner::Regime regime);

} // namespace shimledger::services
