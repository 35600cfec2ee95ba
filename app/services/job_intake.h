// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/component_model.h"
#include "inventory/job.h"
#include "inventory/shop_file.h"
#include "planner/stack/stack_spec.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// A component comes in: what is written down before its valve is stripped.
struct JobIntake {
    inventory::Job job; ///< code empty: the next one; opened: today in any case
    std::optional<inventory::ComponentModel> new_model; ///< of the job, where the shop has not had it before
    std::vector<inventory::StackRow> target;            ///< may come later
};

/// The number after the greatest that the latest kind of job code has: JOB-1015 after JOB-1014.
[[nodiscard]] std::string nextJobCode(inventory::ShopFile& shop);

/// The latest job on this valve of this model, whatever became of it: its sizes are likely this one's, to be
/// measured again.
[[nodiscard]] std::optional<inventory::Job> latestJobLike(inventory::ShopFile& shop, std::string_view model,
                                                          std::string_view valve);

/// None: the job has no target.
[[nodiscard]] std::vector<inventory::StackRow> targetRows(inventory::ShopFile& shop, std::string_view job);

/// A fork has two, a shock one.
[[nodiscard]] int usualLegs(inventory::ComponentKind kind);

/// Opens the job, with its target and its new model where they are given, or does nothing. Returns its code.
/// Throws InputError: as JobBook::add, and where the target is no stack that can exist on the valve.
std::string openJob(inventory::ShopFile& shop, const JobIntake& intake);

/// Changes customer, component, valve, due day, priority and note from what was looked at to what is wanted.
/// Throws InputError: as JobBook::update, where somebody has changed the job meanwhile, where its target
/// cannot exist on the valve, and for another valve while discs are reserved or pulled for the one it had.
void changeJob(inventory::ShopFile& shop, const inventory::Job& before, const inventory::Job& wanted);

/// Rows for a job's book from the trade's notation ("4 x 24.0 x 0.10", one a line or parted by semicolons).
/// Throws InputError on what is no stack, and on rings, which the book does not keep.
[[nodiscard]] std::vector<inventory::StackRow> bookRows(std::string_view stack_text);
[[nodiscard]] std::vector<inventory::StackRow> bookRows(const std::vector<planner::DiscRow>& rows);

} // namespace shimledger::services
