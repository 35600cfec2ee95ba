// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/known_flow.h"
#include "app/services/plan_job.h"
#include "inventory/shop_file.h"
#include "planner/damping/damping_study.h"

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// A job's stacks in the valve that they work in, as its component model tells it.
struct JobDamping {
    planner::DampedStack target;
    /// What is held against it, in the same valve; none: the job has the target alone.
    std::optional<planner::DampedStack> substitute;
    std::string substitute_name; ///< "the accepted stack", "what was built", "proposal 2"
    inventory::Stroke stroke = inventory::Stroke::compression;
    std::vector<AssumedFigure> assumed;
    std::string fitted_to; ///< the readings that the model's figures were fitted to; empty: none

    [[nodiscard]] const planner::DampedStack& shown() const { return substitute ? *substitute : target; }
};

/// The target, and against it what was built, else what was accepted; discs that were pulled count as they
/// were measured then, those that are reserved as they are now. Throws InputError when there is no such job
/// or it has no target stack that can exist.
[[nodiscard]] JobDamping jobDamping(inventory::ShopFile& shop, std::string_view job);

/// The target, and against it a proposal (0-based) of a plan, its discs as they were measured. Throws
/// InputError when there is no such proposal.
[[nodiscard]] JobDamping proposalDamping(inventory::ShopFile& shop, const JobPlan& plan,
                                         std::size_t proposal);

} // namespace shimledger::services
