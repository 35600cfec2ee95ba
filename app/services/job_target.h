// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/job.h"
#include "inventory/shop_file.h"
#include "planner/stack/stack_spec.h"

#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// What a stack's valve differs in from the one that is written down for the job: "clamp diameter 10.0, in
/// the job 12.0"; empty: it is the same.
[[nodiscard]] std::vector<std::string> valveDifferences(const inventory::Job& job,
                                                        const planner::ValveGeometry& valve);

struct SavedTarget {
    std::vector<inventory::StackRow> rows;
    std::vector<std::string> valve_changes; ///< as valveDifferences(), where the valve was taken too
    bool changed = false;                   ///< false: the job said all of it already
};

/// Makes the stack the job's target; with `valve_too` its valve the job's as well. Throws InputError, and
/// changes nothing, where the job has ended or has discs reserved, where the valve differs and is not to be
/// taken, and on what a job's book does not keep: rings, and a material of their own.
SavedTarget saveTarget(inventory::ShopFile& shop, std::string_view job, const planner::StackSpec& stack,
                       bool valve_too = false);

/// The same for rows alone, on the job's own valve.
SavedTarget saveTarget(inventory::ShopFile& shop, std::string_view job,
                       const std::vector<inventory::StackRow>& rows);

} // namespace shimledger::services
