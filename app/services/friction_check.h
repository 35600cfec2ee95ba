// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/disc_friction.h"
#include "planner/stack/stack_spec.h"

#include <functional>
#include <string>

namespace shimledger::services {

/// How far a proposal differs from its target while the pressure rises, with friction between the discs, and
/// without it, which is the middle of the loop: the search compares one of the two. Signed, + is stiffer than
/// the target, at the lift where it is most, over the lifts that the search compared.
struct LoadingComparison {
    double signed_deviation = 0;          ///< with the usual coefficient
    double middle_deviation = 0;          ///< without friction
    double with_least = 0, with_most = 0; ///< with the least and the greatest one of handbooks
    double rubbing = 0;                   ///< of it, what comes of friction alone
    std::string sentence;                 ///< "" where a curve could not be followed
};

/// `built` is the target with the discs that the proposal pulls, `ratio` what the search found: its pressure
/// by the target's at a lift, with the usual friction (`compared_loading`) or without any. Both are followed
/// as round discs of large deflection up to `last_lift_mm` > 0; a few milliseconds.
[[nodiscard]] LoadingComparison compareLoading(const planner::StackSpec& target,
                                               const planner::StackSpec& built, double last_lift_mm,
                                               const std::function<double(double lift_mm)>& ratio,
                                               bool compared_loading = false);

} // namespace shimledger::services
