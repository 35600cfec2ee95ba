// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/master_changes.h"
#include "inventory/shop_file.h"
#include "planner/damping/damping_fit.h"

#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// Keeps fitted figures with the flow of the job's valve in its component model, to the thousandth, and what
/// they were fitted to: `source` is the file of the readings, `stack` which one of the job was on the test
/// bench. A fitted bleed of an adjuster makes its clicks a table, all out by the same part. The changes.
/// Throws InputError, and keeps nothing, where a figure was stopped by the range it was looked for in, or the
/// model has no such valve.
std::vector<inventory::MasterChange> keepFit(inventory::ShopFile& shop, std::string_view job,
                                             const planner::DampingFit& fit, const std::string& source,
                                             const std::string& stack);

} // namespace shimledger::services
