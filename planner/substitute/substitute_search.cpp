// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/substitute_search.h"

#include "planner/substitute/clamp_search.h"
#include "planner/substitute/proposal_builder.h"
#include "planner/substitute/proposal_choice.h"
#include "planner/substitute/proposal_recheck.h"
#include "planner/substitute/proposal_scatter.h"
#include "planner/substitute/request_check.h"
#include "planner/substitute/smallest_cause.h"
#include "planner/substitute/staged_search.h"
#include "planner/substitute/stock_check.h"
#include "planner/substitute/target_groups.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <stdexcept>
#include <string>
#include <utility>

namespace shimledger::planner {

namespace {

// How far a deviation may differ on the fine grid before the search is made there: a tenth of a per cent
// of the pressure, and a hundredth of what the deviation itself is.
constexpr double grid_allowance = 0.001, far_allowance = 0.01;
constexpr double least_seconds = 1; // for a second search, where the first took the time that was given

/// How far the proof goes: to hundredths of a per cent.
std::string percentText(double part) {
    const long hundredths = std::lround(part * 1e4);
    return std::to_string(hundredths / 100) + "." + std::to_string(100 + hundredths % 100).substr(1) + " %";
}

std::string provedText(double gap) {
    if (std::lround(gap * 1e4) == 0)
        return "Nothing else within the rules is closer than the first proposal.";
    return "Nothing else within the rules is closer than the first proposal by " + percentText(gap) +
           " of pressure or more.";
}

void takeBackProof(SubstituteResult& result, const std::string& why) {
    result.status = SubstituteStatus::found_not_proved;
    result.lower_bound = 0;
    result.basis = {};
    result.message = "Not proved: " + why;
}

/// A stack that has no curve at some lift the search did not look at is no proposal; what was proved rested
/// on it.
void leaveOut(SubstituteResult& result) {
    takeBackProof(result,
                  "the edge of a stack that was found sinks at some lift while the pressure rises, so it "
                  "was left out.");
}

/// Loud where a proposal is not what it says: a fault of ours.
void mustPass(ProposalRecheck& recheck, SubstituteResult& result) {
    const auto lost = std::erase_if(result.proposals, [&](const SubstituteProposal& proposal) {
        const std::vector<std::string> faults = recheck.faultsOf(proposal);
        if (faults.empty()) return false;
        if (faults.front() == ProposalRecheck::no_curve) return true;
        throw std::logic_error("a proposal failed its re-check: " + faults.front());
    });
    if (lost > 0) leaveOut(result);
}

/// False where a stack was left out.
bool fillProposals(const SubstituteRequest& request, const StagedSearch& search, SubstituteResult& result) {
    std::vector<FramedStack> stacks;
    std::vector<ProposalMerits> all_merits;
    const auto most = static_cast<std::size_t>(std::max(1, request.limits.proposals));
    for (const auto& [index, merits] : chooseProposals(search.record(), most)) {
        const EvaluatedStack& stack = search.record().choices()[index];
        stacks.push_back({&search.frame(stack.frame), &stack});
        all_merits.push_back(merits);
    }
    auto proposals = buildProposals(request, search.target(), stacks);
    for (std::size_t i = 0; i < stacks.size(); ++i) {
        if (!proposals[i]) continue;
        proposals[i]->merits = all_merits[i];
        result.proposals.push_back(std::move(*proposals[i]));
    }
    judgeScatter(request, result.proposals);
    return result.proposals.size() == stacks.size();
}

/// How many groups would have to stand at another OD at once, if more than the rules allow make it possible.
std::string moreMovedText(const SubstituteRequest& request) {
    const std::vector<TargetGroup> groups = targetGroups(*request.target);
    const auto may_move =
        static_cast<int>(std::count_if(groups.begin(), groups.end(), [&](const TargetGroup& group) {
            return odReach(request.rules, group) > Length();
        }));
    SubstituteRequest freer = request;
    const int most = std::min(may_move, request.rules.most_groups_moved + 2);
    for (int moved = request.rules.most_groups_moved + 1; moved <= most; ++moved) {
        freer.rules.most_groups_moved = moved;
        if (anyStackPossible(freer).value_or(false))
            return " It could be with " + std::to_string(moved) +
                   " groups at another OD at once; the rules allow " +
                   std::to_string(request.rules.most_groups_moved) + ".";
    }
    return {};
}

/// Why nothing is possible: groups that nothing can fill, or else the fewest sizes short that together cause
/// it.
void explainImpossible(const SubstituteRequest& request, const StagedSearch& search,
                       SubstituteResult& result) {
    std::vector<Shortage> causes = causesOfImpossibility(request, search.lastFrames());
    if (!causes.empty()) {
        result.message = "No stack with these ODs can be built: " + causes.front().sentence + ".";
        result.shortages = std::move(causes);
        return;
    }
    const SmallestCause cause = smallestCause(request, request.limits.seconds - search.seconds());
    if (!cause.proved) {
        result.message = "No stack within the rules can be built from the drawers; which of the sizes short "
                         "causes that was not found out in the time given.";
        return;
    }
    result.shortages = cause.shortages;
    result.message = "No stack within the rules can be built from the drawers, ";
    if (cause.shortages.empty()) {
        result.message += "nor would be with every size that is short: the rules exclude the target itself.";
        return;
    }
    result.message += cause.each_alone ? "for want of " : "for want of these together: ";
    const char* between = "";
    for (const Shortage& shortage : cause.shortages) {
        result.message += between + shortage.sentence;
        between = cause.each_alone ? "; or, no less, of " : "; ";
    }
    result.message += ".";
}

void explainNothing(const SubstituteRequest& request, const StagedSearch& search, SubstituteResult& result) {
    if (search.proved()) {
        result.status = SubstituteStatus::nothing_possible;
        explainImpossible(request, search, result);
        if (search.seconds() < request.limits.seconds) result.message += moreMovedText(request);
        return;
    }
    result.status = SubstituteStatus::found_not_proved;
    result.message = search.record().unsolved > 0 && !search.record().stopped
                         ? "No stack was found whose curve can be computed."
                         : "The search ended before any stack was found; give it more time.";
}

/// What is proved, and what that rests on.
std::string provedTextOf(const SubstituteRequest& request, const StagedSearch& search,
                         const SubstituteResult& result) {
    const ProofBasis& basis = result.basis;
    // Then the target itself is no answer.
    const bool wish = !request.rules.wanted.changesNothing() || request.curve_of.has_value();
    if (basis.kind == ProofBasis::Kind::gap) {
        if (!wish && search.buildable() && result.proposals.front().discs_changed == 0)
            return "The drawers hold the target itself.";
        return std::string("The first proposal is closer to ") + (wish ? "what is wanted" : "the target") +
               " than the " + percentText(request.limits.gap) +
               " of pressure that were asked for: nothing more was looked for.";
    }
    std::string text;
    if (!wish && search.buildable())
        text = "The drawers hold the target's own discs, which by their readings deviate. ";
    text += provedText(request.limits.gap);
    if (basis.kind == ProofBasis::Kind::every_stack) return text + " Every stack within the rules was tried.";
    if (basis.kind == ProofBasis::Kind::bounds && basis.drawn > 0) {
        text += " That rests on bounds of the curves; of " + std::to_string(basis.drawn) +
                " stacks that they exclude, drawn at random and computed, none used up more than " +
                std::to_string(std::lround(100 * basis.strain)) + " % of what they allow.";
    }
    return text;
}

void explainFound(const SubstituteRequest& request, const StagedSearch& search, SubstituteResult& result) {
    const SearchRecord& record = search.record();
    result.status = search.proved() ? SubstituteStatus::proved_best : SubstituteStatus::found_not_proved;
    result.lower_bound = search.lowerBound();
    result.message = !search.proved() && record.unsolved > 0 && !record.stopped
                         ? "The curves of some stacks could not be computed; one of them may be closer."
                     : !search.proved()
                         ? "The search ended before everything was looked at; a closer stack may exist."
                         : provedTextOf(request, search, result);
    if (request.rules.compare_loading)
        result.message += " Curves were compared while the pressure rises, with friction between the discs.";
    const Length face = request.target->rows().front().od;
    const bool other_face =
        std::any_of(result.proposals.begin(), result.proposals.end(),
                    [&](const SubstituteProposal& proposal) { return proposal.rows.front().row.od != face; });
    if (other_face) {
        result.message += " Some have a face of another OD: their lift is that of its own edge, which stands "
                          "elsewhere over the ports.";
    }
}

} // namespace

const char* substituteStatusName(SubstituteStatus status) {
    switch (status) {
    case SubstituteStatus::not_run:
        return "not_run";
    case SubstituteStatus::proved_best:
        return "proved_best";
    case SubstituteStatus::found_not_proved:
        return "found_not_proved";
    case SubstituteStatus::nothing_possible:
        return "nothing_possible";
    case SubstituteStatus::bad_request:
        return "bad_request";
    }
    throw std::logic_error("unknown substitute status");
}

namespace {

/// The search on one grid.
SubstituteResult searchOn(const SubstituteRequest& request, const GridOptions& grid) {
    SubstituteResult result;
    TargetCurveOrReason target = computeTargetCurve(request, grid);
    if (!target.curve) {
        result.status = SubstituteStatus::bad_request;
        result.message = "The target's own curve cannot be computed: " + target.reason + ".";
        return result;
    }
    StagedSearch search(request, std::move(*target.curve));
    search.run();
    result.examined = search.record().examined;
    result.excluded = search.record().excluded;
    result.basis = search.basis();
    // Where another curve is wanted, nobody asked for the target's own discs.
    if (request.rules.wanted.changesNothing()) result.shortages = checkAgainstStock(request);
    if (search.record().choices().empty()) {
        explainNothing(request, search, result);
    } else {
        const bool all = fillProposals(request, search, result);
        if (!result.proposals.empty()) explainFound(request, search, result);
        if (!all) leaveOut(result);
    }
    result.seconds = search.seconds();
    return result;
}

/// The finer the grid, the less a stack's curve depends on it; where the proposals' do, the choice may.
bool gridMatters(ProposalRecheck& recheck, const SubstituteResult& result) {
    return std::any_of(result.proposals.begin(), result.proposals.end(), [&](const SubstituteProposal& told) {
        const std::optional<double> fine = recheck.fineDeviation(told);
        const double deviation = told.deviation.max_deviation;
        return !fine || std::abs(*fine - deviation) > grid_allowance + far_allowance * deviation;
    });
}

/// Two groups may take discs of one OD, and of a size there are lots that were read differently: the search
/// gives the groups what is marked alike as it comes, and does not try which of those lots goes to which
/// group.
bool readingsMayChangePlaces(const SubstituteRequest& request) {
    const std::vector<TargetGroup> groups = targetGroups(*request.target);
    for (const StockItem& lot : request.stock) {
        const bool read_apart =
            std::any_of(request.stock.begin(), request.stock.end(), [&](const StockItem& other) {
                return other.od == lot.od && other.thickness == lot.thickness &&
                       other.measured.value_or(other.thickness) != lot.measured.value_or(lot.thickness);
            });
        if (!read_apart) continue;
        const auto takers = std::count_if(groups.begin(), groups.end(), [&](const TargetGroup& group) {
            const auto away = std::abs(group.od.micrometres() - lot.od.micrometres());
            return away <= odReach(request.rules, group).micrometres();
        });
        if (takers > 1) return true;
    }
    return false;
}

/// Takes back what was called proved where that rests on less than all there is.
SubstituteResult asFarAsProved(const SubstituteRequest& request, SubstituteResult result) {
    const bool within_gap = result.basis.kind == ProofBasis::Kind::gap;
    if (result.status != SubstituteStatus::proved_best || within_gap || !readingsMayChangePlaces(request))
        return result;
    takeBackProof(result,
                  "several groups take discs of one OD that were read differently, and which of them goes "
                  "where was not tried in every way.");
    return result;
}

} // namespace

namespace {

/// On the clamp that the request's target stands on.
SubstituteResult findOnThisClamp(const SubstituteRequest& request) {
    SubstituteResult result;
    result.status = SubstituteStatus::bad_request;
    result.message = whatIsWrongWith(request);
    if (!result.message.empty()) return result;
    result = searchOn(request, GridOptions::searchGrid());
    ProposalRecheck recheck(request);
    mustPass(recheck, result);
    if (!gridMatters(recheck, result)) return asFarAsProved(request, std::move(result));
    SubstituteRequest again = request;
    again.limits.seconds = std::max(least_seconds, request.limits.seconds - result.seconds);
    SubstituteResult fine = searchOn(again, GridOptions::fineGrid());
    fine.fine_grid = true;
    fine.seconds += result.seconds;
    fine.message +=
        " The curves are those of a fine grid, as on the usual one these stacks are told less well.";
    ProposalRecheck fine_recheck(request, GridOptions::fineGrid());
    mustPass(fine_recheck, fine);
    return asFarAsProved(request, std::move(fine));
}

} // namespace

SubstituteResult findSubstitutes(const SubstituteRequest& request) {
    // Only of a request that is one: other clamps are made of its rows.
    if (request.rules.clamp_od_step > Length() && whatIsWrongWith(request).empty())
        return searchClamps(request, findOnThisClamp);
    return findOnThisClamp(request);
}

} // namespace shimledger::planner
