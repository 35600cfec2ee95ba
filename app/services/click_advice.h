// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/damping/damping_study.h"
#include "planner/stack/stack_spec.h"
#include "planner/substitute/substitute_result.h"

#include <string>
#include <vector>

namespace shimledger::services {

/// Where the adjuster must stand so that a stack is its target again at 0.1 m/s.
struct ClickAdvice {
    std::vector<planner::ClickMatch>
        legs;             ///< leg 1, 2, ...; one where the legs are alike; empty: there is no telling
    std::string sentence; ///< "At 0.1 m/s it is the target with one click more out (9 instead of 8): ..."; ""
    bool one_click_equals = false; ///< in every leg: one click other than the target's leaves less than 1 %
};

/// A stack with the discs that were pulled for it, in the target's valve; each leg with its own discs, where
/// lots that were measured differ. A few milliseconds; empty where the valve has no adjuster.
[[nodiscard]] ClickAdvice clickAdvice(const planner::StackSpec& target, const planner::ValveFlow& flow,
                                      const planner::SubstituteProposal& proposal);

/// "it is the target with 2 clicks more out (10 instead of 8): +0.3 %, at the same click +7.9 %"
[[nodiscard]] std::string clickText(const planner::ClickMatch& match);

} // namespace shimledger::services
