// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/job.h"
#include "inventory/shop_file.h"

#include <string_view>

namespace shimledger::inventory {

[[nodiscard]] constexpr bool hasEnded(JobStatus status) {
    return status == JobStatus::closed || status == JobStatus::cancelled;
}

struct ReopenedJob {
    JobStatus was = JobStatus::closed;
    JobStatus now = JobStatus::open;
};

/// A job that was closed or cancelled is at work again: open or pulled, as the ledger says. What was pulled
/// for it is still pulled, and nothing is reserved. Throws InputError when there is no such job or it has not
/// ended.
ReopenedJob reopenJob(ShopFile& shop, std::string_view job);

} // namespace shimledger::inventory
