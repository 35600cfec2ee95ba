// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/calendar.h"
#include "inventory/shop_file.h"
#include "planner/kit/kit_plan.h"

#include <string>
#include <vector>

namespace shimledger::services {

/// A stretch of days, both ends included.
struct KitSeason {
    inventory::CalendarDate from, until;
};
/// "2026-03-01..2026-08-31"; throws InputError, also for one of more than two years.
[[nodiscard]] KitSeason parseKitSeason(const std::string& text);

/// What a shop is asked for, as its jobs tell it.
struct KitDemandBook {
    std::vector<planner::WantedStack> wanted; ///< by target stack, valve and legs; the most asked for first
    std::vector<double> season;               ///< by window
    double clumping = 1;
    double unseen_share = 0.2; ///< of the later half of the jobs, those by a stack that was new then
    int jobs = 0;              ///< that this rests on
    double years = 0;
    std::vector<std::string> notes;
};

/// From the jobs of the last three years that were not called off: how often each target stack comes a year,
/// how jobs clump by weeks, when in the year they come (where two years tell), and which open jobs still
/// need their discs.
[[nodiscard]] KitDemandBook kitDemandOf(inventory::ShopFile& shop, const KitSeason& season,
                                        double window_days);

} // namespace shimledger::services
