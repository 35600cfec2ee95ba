// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/shop_file.h"

#include <map>
#include <string>
#include <string_view>

namespace shimledger::services {

/// Jobs that a count has left with less than was reserved for them, and that were neither planned again nor
/// released since: "short since the count of 2026-03-09: 2 of S24-0.12 in A2", by job; of all, or of one.
/// Wherever jobs are listed, they are marked.
[[nodiscard]] std::map<std::string, std::string> shortJobs(const inventory::ShopFile& shop,
                                                           std::string_view job = {});

} // namespace shimledger::services
