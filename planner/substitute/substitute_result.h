// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/lift_curve.h"
#include "planner/stack/stack_spec.h"
#include "planner/units/length.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::planner {

/// What is now known. The caller may act on proposals in the first two cases only.
enum class SubstituteStatus {
    not_run,          ///< nothing was asked yet
    proved_best,      ///< the first proposal is the closest that the rules and the drawers allow
    found_not_proved, ///< a limit or the user ended the search; see lower_bound
    nothing_possible, ///< proved: no stack within the rules; see shortages
    bad_request       ///< the request contradicts itself; see message
};

[[nodiscard]] const char* substituteStatusName(SubstituteStatus status);

/// Take `quantity` discs from this bin; all legs together.
struct Pull {
    std::string bin;
    std::string part;
    Length od;
    Length thickness;
    std::optional<Length> measured;
    bool used = false;
    std::int64_t quantity = 0;
    std::int64_t walking_order = 0;
    std::vector<std::int64_t> per_leg; ///< how many of them go into each leg
    double reading_spread_mm = 0;      ///< standard deviation of the lot's readings; 0: not known
};

/// In what way a proposal is the best one; one proposal may be best in several.
struct ProposalMerits {
    bool closest = false;
    bool fewest_changes = false;
    bool smallest_height_change = false;
    bool spares_scarce = false;          ///< cheapest to replace
    bool rubs_least_differently = false; ///< of those told: friction between the discs adds most nearly what
                                         ///< it adds to the target; judged by whoever compares them
};

/// One row of a proposal and the target row it answers.
struct ProposalRow {
    DiscRow row;
    int target_row = 0;    ///< 0-based
    bool replaces = false; ///< differs from the target's row
};

struct SubstituteProposal {
    std::vector<ProposalRow> rows;            ///< of one leg, piston face first
    std::vector<Pull> pulls;                  ///< all legs, in walking order
    CurveDeviation deviation;                 ///< of the leg that deviates most, the largest over the range
    CurveDeviation against_base;              ///< of that leg against the target's own curve; the same as
                                              ///< `deviation` unless another curve is wanted
    std::vector<double> leg_deviations;       ///< by leg: signed, where it is largest
    std::vector<double> lifts_mm;             ///< where the curves were compared
    std::vector<double> target_pressures_mpa; ///< as they are wanted; of a rising pressure, with friction,
                                              ///< where the rules compare that
    std::vector<double> pressures_mpa;        ///< of the leg that deviates most
    std::optional<Length> clamp_od{}; ///< where the clamp's discs, and so the clamp, are of another OD
    Length height_change;
    int discs_changed = 0;       ///< per leg, summed over the groups: the more of discs taken out and put in
    bool within_scatter = false; ///< closer than the target's own scatter band everywhere
    double own_scatter = 0;      ///< half-width of the band about its own curve, relative, at its widest (two
                            ///< deviations): by the readings of its lots, by tolerance where there are none
    double leg_difference = 0; ///< largest |p_left / p_right - 1| from measured lots that differ between legs
    std::int64_t replacement_cost = 0; ///< hundredths, all legs
    ProposalMerits merits;
};

/// The target's valve, with the clamp that the proposal stands on.
[[nodiscard]] inline ValveGeometry valveOf(const StackSpec& target, const SubstituteProposal& proposal) {
    ValveGeometry valve = target.valve();
    valve.clamp_od = proposal.clamp_od.value_or(valve.clamp_od);
    return valve;
}

/// A size that the target needs more of than the drawers can give.
struct Shortage {
    int target_row = 0;
    Length od;
    Length thickness;
    std::int64_t needed = 0; ///< all legs
    std::int64_t available = 0;
    std::string sentence;
};

/// What "nothing closer" rests on.
struct ProofBasis {
    enum class Kind {
        none,        ///< nothing is proved
        gap,         ///< the first is closer to the target than the gap that was asked for
        every_stack, ///< every stack that the rules allow was evaluated
        bounds ///< bounds on curves, whose constants were found and not derived, and held up as told below
    } kind = Kind::none;
    std::int64_t drawn = 0; ///< stacks that bounds had excluded, drawn at random and evaluated
    double strain = 0;      ///< the largest part of what the bounds allow that one of them used up
    int widened = 0;        ///< times that the bounds were widened and the proof begun again
};

struct SubstituteResult {
    SubstituteStatus status = SubstituteStatus::not_run;
    std::string message;                       ///< one sentence
    std::vector<SubstituteProposal> proposals; ///< closest first
    std::int64_t examined = 0;                 ///< candidates whose curve was computed
    std::int64_t excluded = 0;                 ///< candidates that a bound ruled out
    double lower_bound = 0;                    ///< no stack within the rules deviates less
    ProofBasis basis;                          ///< of proved_best
    bool fine_grid = false;                    ///< the default grid was not good enough for these stacks
    std::vector<Shortage> shortages; ///< of the target itself; for nothing_possible the smallest causing set
    double seconds = 0;
};

} // namespace shimledger::planner
