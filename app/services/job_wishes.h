// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/job.h"
#include "inventory/shop_file.h"
#include "inventory/stack_try.h"
#include "planner/stack/stack_spec.h"
#include "planner/substitute/substitute_result.h"
#include "planner/substitute/wanted_factor.h"

#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// Keeps a stack that was tried for a job, with what was wished of it; the job's target and build stay as
/// they are. An empty name is "Try 1" and so on. Throws InputError where the job has ended, the name is taken
/// or the stack is on another valve than the job's; another clamp may be.
inventory::StackTry keepTry(inventory::ShopFile& shop, std::string_view job, std::string_view name,
                            const planner::StackSpec& stack, const planner::WantedFactor& wanted,
                            std::string_view made_by);

/// Makes a stack the job's target, with its clamp, and keeps the target that was, the wish and who made it,
/// all or nothing. Throws as saveTarget().
inventory::StackTry keepAsTarget(inventory::ShopFile& shop, std::string_view job,
                                 const planner::StackSpec& stack, const planner::WantedFactor& wanted,
                                 std::string_view made_by);

/// A try as the planner sees it. Throws InputError where it is no stack on the job's valve.
[[nodiscard]] planner::StackSpec triedStack(inventory::ShopFile& shop, const inventory::StackTry& tried);

/// What was wished of the stacks that the job has now, the target first, and what they give; a sentence each.
/// `working_lift_mm`: where the valve's is not told. `pulls`: discs that are kept for the build, as they were
/// read; what has been pulled for it is known.
[[nodiscard]] std::vector<std::string> jobWishes(inventory::ShopFile& shop, std::string_view job,
                                                 double working_lift_mm = 0.30,
                                                 const std::vector<planner::Pull>& pulls = {});

/// The same of the last job before this one that had the same component and valve, and something wished; the
/// sentences name that job.
[[nodiscard]] std::vector<std::string> earlierWishes(inventory::ShopFile& shop, std::string_view job,
                                                     double working_lift_mm = 0.30);

/// How a try stands against the job's target.
struct TryTold {
    inventory::StackTry tried;
    std::string wish;  ///< in words; empty: none
    std::string given; ///< "-9.8 % at 0.12 mm", the largest difference against what it is held against
    std::string stack; ///< its rows in one line
};
[[nodiscard]] std::vector<TryTold> jobTries(inventory::ShopFile& shop, std::string_view job,
                                            double working_lift_mm = 0.30);

} // namespace shimledger::services
