// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/job.h"
#include "inventory/shop_file.h"

#include <string_view>

namespace shimledger::inventory {

[[nodiscard]] constexpr bool hasEnded(JobStatus status) {
    return status == JobStatus::closed || status == JobStatus::cancelled;
}

/// One valve alone, within the caller's transaction; returns the quantity released.
std::int64_t endValve(ShopFile& shop, std::string_view code, JobStatus status, std::string_view reason);

struct ReopenedJob {
    JobStatus was = JobStatus::closed;
    JobStatus now = JobStatus::open;
};

/// A job that was closed or cancelled is at work again: open or pulled, as the ledger says. What was pulled
/// for it is still pulled, and nothing is reserved. Its valves that ended with it are at work again, too.
/// Throws InputError when there is no such job or it has not ended, and for a valve of a component whose job
/// has ended.
ReopenedJob reopenJob(ShopFile& shop, std::string_view job);

} // namespace shimledger::inventory
