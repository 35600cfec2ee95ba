// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/reorder.h"

#include <string>
#include <vector>

namespace shimledger::services {

/// The first page of a plan, for who has five minutes: one sentence a line, the most pressing first.
struct PageOne {
    std::vector<std::string> stops;  ///< jobs that stand still, the late ones first, with what could be done
    std::vector<std::string> today;  ///< from whom, how much, for what
    std::vector<std::string> cost;   ///< to pay, and how far that is proved
    std::vector<std::string> if_not; ///< what happens if nothing is ordered
    std::vector<std::string>
        later; ///< suppliers whose day is still to come, and what ordering together saves
};

/// "98 of 100 jobs served in full from the shelf, 95 promised".
[[nodiscard]] std::string promiseText(const ReorderLine& line);

/// What a plan costs whose packs somebody changed; nothing is proved of it. By currency.
[[nodiscard]] std::vector<PlanQuality> costsAsChanged(const ReorderPlan& plan);

[[nodiscard]] PageOne pageOne(const ReorderPlan& plan);

} // namespace shimledger::services
