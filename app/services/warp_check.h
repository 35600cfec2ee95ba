// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/click_advice.h"
#include "app/services/friction_check.h"
#include "planner/mechanics/lift_curve.h"
#include "planner/mechanics/warp_onset.h"
#include "planner/stack/stack_spec.h"
#include "planner/substitute/substitute_request.h"
#include "planner/substitute/substitute_result.h"

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::services {

/// One stack for drawing: all vectors ascending; `warped_...` are of one length and empty without an onset.
struct WarpDrawing {
    std::optional<planner::WarpOnset> onset; ///< the mark; none: the discs stay round over the range
    std::vector<double> round_lifts_mm;      ///< of the round solution; draw it thin past the onset
    std::vector<double> round_pressures_mpa;
    std::vector<double> warped_pressures_mpa;       ///< from a little below the onset to where the mean ends
    std::vector<double> mean_lifts_mm;              ///< of the rim
    std::vector<double> min_lifts_mm, max_lifts_mm; ///< the band
    std::vector<std::string> notes; ///< sentences: where nothing is known, or outside the checks
};

/// Up to `lift_mm` in (0, 5], as far as either solution can be followed. A fraction of a second: call it off
/// the window's thread.
[[nodiscard]] WarpDrawing drawWarp(const planner::StackSpec& stack, double lift_mm);

/// How far the search compares: the round solution says nothing past an onset.
struct ComparedRange {
    double working_lift_mm = 0;
    double compared_lift_mm = 0; ///< the smaller of the working lift and the target's onset
    std::optional<planner::WarpOnset> target_onset; ///< none up to the working lift
    std::string sentence;
};

/// A proposal against the target over the whole working range, both with the warp model.
struct WarpComparison {
    std::optional<planner::WarpOnset> proposal_onset; ///< none up to the working lift
    double round_to_mm = 0;         ///< the smallest of the working lift and both onsets ...
    double round_deviation = 0;     ///< ... and the signed deviation of the proposal up to there
    bool whole = false;             ///< the warped curves were compared up to the working lift
    double reached_mm = 0;          ///< lift up to which they were
    planner::CurveDeviation warped; ///< over that range; + is stiffer than the target
    LoadingComparison loading;      ///< round, with friction between the discs
    std::string sentence;           ///< all of this, the loading's sentence last
};

/// A search and what the warp model says of its answer.
struct CheckedSubstitutes {
    planner::SubstituteResult result; ///< found over `range.compared_lift_mm`
    ComparedRange range;
    std::vector<WarpComparison> comparisons; ///< of the first proposals: of all unless the user stopped
    std::vector<ClickAdvice> clicks{};       ///< of a job whose valve has an adjuster, one a proposal
};

/// The range of a request that makes sense; with the small-deflection model nothing is shortened.
[[nodiscard]] ComparedRange comparedRange(const planner::SubstituteRequest& request);

/// A stack of nominal sizes with what was pulled for it, as a search would have proposed it.
[[nodiscard]] planner::SubstituteProposal asProposal(const planner::StackSpec& nominal,
                                                     std::vector<planner::Pull> pulls);

/// The target with the discs that the proposal pulls: measured means where lots were measured.
[[nodiscard]] planner::StackSpec pulledStack(const planner::StackSpec& target,
                                             const planner::SubstituteProposal& proposal);

/// Every proposal against the target over the whole working range of the request; none where the request is
/// of small deflections. `may_go_on`, where given, is asked before each curve; after a false the proposals so
/// far have their comparisons, in order.
[[nodiscard]] std::vector<WarpComparison>
compareWarped(const planner::SubstituteRequest& request, const ComparedRange& range,
              const std::vector<planner::SubstituteProposal>& proposals,
              const std::function<bool()>& may_go_on = {});

/// Searches up to the target's onset of warping, then compares every proposal over the whole working range.
/// Throws nothing of its own: a bad request is told by the result.
[[nodiscard]] CheckedSubstitutes findCheckedSubstitutes(const planner::SubstituteRequest& request);

} // namespace shimledger::services
