#include "planner/substitute/substitute_search.h"

#include "planner/substitute/proposal_builder.h"
#include "planner/substitute/proposal_choice.h"
#include "planner/substitute/proposal_recheck.h"
#include "planner/substitute/proposal_scatter.h"
#include "planner/substitute/request_check.h"
#include "planner/substitute/smallest_cause.h"
#include "planner/substitute/staged_search.h"
#include "planner/substitute/stock_check.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <stdexcept>
#include <string>
#include <utility>

namespace shimledger::planner {

namespace {

/// How far the proof goes: to hundredths of a per cent.
std::string provedText(double gap) {
    const long hundredths = std::lround(gap * 1e4);
    if (hundredths == 0) return "Nothing else within the rules is closer than the first proposal.";
    const std::string digits = std::to_string(100 + hundredths % 100).substr(1);
    return "Nothing else within the rules is closer than the first proposal by " +
           std::to_string(hundredths / 100) + "." + digits + " % of pressure or more.";
}

void fillProposals(const SubstituteRequest& request, const StagedSearch& search, SubstituteResult& result) {
    const TargetCurve& target = search.target();
    const auto most = static_cast<std::size_t>(std::max(1, request.limits.proposals));
    for (const auto& [index, merits] : chooseProposals(search.record(), most)) {
        const EvaluatedStack& stack = search.record().choices()[index];
        SubstituteProposal proposal =
            buildProposal(request, search.frame(stack.frame), stack, target.lifts_mm, target.pressures_mpa);
        proposal.merits = merits;
        result.proposals.push_back(std::move(proposal));
    }
    judgeScatter(request, result.proposals);
    ProposalRecheck recheck(request);
    for (const SubstituteProposal& proposal : result.proposals) {
        const std::vector<std::string> faults = recheck.faultsOf(proposal);
        if (!faults.empty()) throw std::logic_error("a proposal failed its re-check: " + faults.front());
    }
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
        return;
    }
    result.status = SubstituteStatus::found_not_proved;
    result.message = search.record().unsolved > 0 && !search.record().stopped
                         ? "No stack was found whose curve can be computed."
                         : "The search ended before any stack was found; give it more time.";
}

void explainFound(const SubstituteRequest& request, const StagedSearch& search, SubstituteResult& result) {
    const SearchRecord& record = search.record();
    result.status = search.proved() ? SubstituteStatus::proved_best : SubstituteStatus::found_not_proved;
    result.lower_bound = search.lowerBound();
    result.message = !search.proved() && record.unsolved > 0 && !record.stopped
                         ? "The curves of some stacks could not be computed; one of them may be closer."
                     : !search.proved()
                         ? "The search ended before everything was looked at; a closer stack may exist."
                     : search.buildable() ? "The drawers hold the target itself."
                                          : provedText(request.limits.gap);
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

SubstituteResult findSubstitutes(const SubstituteRequest& request) {
    SubstituteResult refused;
    refused.status = SubstituteStatus::bad_request;
    refused.message = whatIsWrongWith(request);
    if (!refused.message.empty()) return refused;

    TargetCurveOrReason target = computeTargetCurve(request);
    if (!target.curve) {
        refused.message = "The target's own curve cannot be computed: " + target.reason + ".";
        return refused;
    }
    StagedSearch search(request, std::move(*target.curve));
    search.run();
    SubstituteResult result;
    result.examined = search.record().examined;
    result.excluded = search.record().excluded;
    result.shortages = checkAgainstStock(request);
    if (search.record().choices().empty()) {
        explainNothing(request, search, result);
    } else {
        fillProposals(request, search, result);
        explainFound(request, search, result);
    }
    result.seconds = search.seconds();
    return result;
}

} // namespace shimledger::planner
