// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/job.h"
#include "inventory/shop_file.h"

#include <optional>
#include <string>
#include <vector>

namespace shimledger::services {

/// Which jobs a list shows. What is not said asks for nothing.
struct JobFilter {
    enum class Which { atWork, ended, all };
    Which which = Which::atWork; ///< jobs that are closed or cancelled have left the list
    /// Each word must be found in the job's code, customer, component, model, valve, due day, note, its state
    /// or "late" or "priority5"; capitals do not matter.
    std::string words{};
    std::string customer{}; ///< words of the customer alone
    std::optional<inventory::CalendarDate> due_until{};
    std::optional<int> least_priority{};
    bool late = false; ///< late ones alone
};

/// Days since its due day, while it is not ended; 0: it is not late. Days are those of UTC, as everywhere.
[[nodiscard]] int daysLate(const inventory::Job& job, inventory::CalendarDate today);
/// "1 day late", "12 days late"; "" where it is not.
[[nodiscard]] std::string lateText(int days_late);

[[nodiscard]] bool isListed(const inventory::Job& job, const JobFilter& filter,
                            inventory::CalendarDate today);

/// The more urgent first, then by due day and code. Throws InputError where filters contradict each other.
[[nodiscard]] std::vector<inventory::Job> listedJobs(inventory::ShopFile& shop, const JobFilter& filter);

} // namespace shimledger::services
