// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/clamp_search.h"

#include "planner/units/input_error.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <set>
#include <string>
#include <utility>

namespace shimledger::planner {

namespace {

bool clamps(const StackSpec& stack, const DiscRow& row) {
    return !row.ring_id && row.od == stack.valve().clamp_od;
}

int clampDiscs(const StackSpec& stack) {
    int discs = 0;
    for (const DiscRow& row : stack.rows()) discs += clamps(stack, row) ? row.count : 0;
    return discs;
}

/// Of the drawers, with the target's bore, within the step, the nearest first.
std::vector<Length> otherOds(const SubstituteRequest& request) {
    const ValveGeometry& valve = request.target->valve();
    const auto distance = [&](Length od) { return std::abs((od - valve.clamp_od).micrometres()); };
    std::set<Length> known;
    for (const StockItem& item : request.stock) {
        if (item.id == valve.shim_id && item.od != valve.clamp_od && item.available > 0 &&
            distance(item.od) <= request.rules.clamp_od_step.micrometres())
            known.insert(item.od);
    }
    std::vector<Length> ods(known.begin(), known.end());
    std::stable_sort(ods.begin(), ods.end(), [&](Length a, Length b) { return distance(a) < distance(b); });
    return ods;
}

/// None where that cannot exist: other discs would be narrower than the clamp, the ports beneath it ...
std::optional<StackSpec> onClamp(const StackSpec& target, Length od) {
    ValveGeometry valve = target.valve();
    std::vector<DiscRow> rows = target.rows();
    for (DiscRow& row : rows) {
        if (clamps(target, row)) row.od = od;
    }
    valve.clamp_od = od;
    try {
        return StackSpec(valve, std::move(rows));
    } catch (const InputError&) {
        return std::nullopt;
    }
}

/// As the request tells a proposal: the clamp's discs are all other ones.
void tellAgainst(const StackSpec& on_clamp, SubstituteProposal& proposal) {
    std::map<Length, int> asked, got;
    int of_target = 0, of_proposal = 0, kept = 0;
    for (const DiscRow& row : on_clamp.rows()) {
        if (!clamps(on_clamp, row)) continue;
        asked[row.thickness] += row.count;
        of_target += row.count;
    }
    for (ProposalRow& row : proposal.rows) {
        if (!clamps(on_clamp, row.row)) continue;
        row.replaces = true;
        got[row.row.thickness] += row.row.count;
        of_proposal += row.row.count;
    }
    for (const auto& [thickness, count] : asked) kept += std::min(count, got[thickness]);
    const int on_its_clamp = std::max(of_target - kept, of_proposal - of_target);
    proposal.discs_changed += std::max(of_target, of_proposal - of_target) - on_its_clamp;
    proposal.clamp_od = on_clamp.valve().clamp_od;
}

/// What a proof rests on as a whole is the weakest of what its parts rest on.
void addBasis(ProofBasis& all, const ProofBasis& one) {
    all.kind = std::max(all.kind, one.kind);
    all.drawn += one.drawn;
    all.strain = std::max(all.strain, one.strain);
    all.widened += one.widened;
}

void keepBest(const SubstituteRequest& request, std::vector<SubstituteProposal>& proposals) {
    std::stable_sort(proposals.begin(), proposals.end(),
                     [](const SubstituteProposal& a, const SubstituteProposal& b) {
                         return a.deviation.max_deviation < b.deviation.max_deviation;
                     });
    const auto most = static_cast<std::size_t>(request.limits.proposals);
    if (proposals.size() > most) proposals.resize(most);
    for (SubstituteProposal& proposal : proposals) proposal.merits = {};
    const auto mark = [&](bool ProposalMerits::*merit, const auto& measure) {
        const auto best = std::min_element(proposals.begin(), proposals.end(),
                                           [&](const SubstituteProposal& a, const SubstituteProposal& b) {
                                               return measure(a) < measure(b);
                                           });
        if (best != proposals.end()) best->merits.*merit = true;
    };
    mark(&ProposalMerits::closest, [](const SubstituteProposal& p) { return p.deviation.max_deviation; });
    mark(&ProposalMerits::fewest_changes, [](const SubstituteProposal& p) { return p.discs_changed; });
    mark(&ProposalMerits::smallest_height_change,
         [](const SubstituteProposal& p) { return std::abs(p.height_change.micrometres()); });
    mark(&ProposalMerits::spares_scarce, [](const SubstituteProposal& p) { return p.replacement_cost; });
}

/// Of the first so many, which were searched.
std::string clampsText(const StackSpec& own, const std::vector<SubstituteRequest>& others,
                       std::size_t searched) {
    std::string text;
    for (std::size_t i = 0; i < searched; ++i)
        text += (text.empty() ? "" : ", ") + others[i].target->valve().clamp_od.text();
    if (text.empty()) return {};
    return " The clamp's discs were tried with an OD of " + text + " mm, too, beside their own " +
           own.valve().clamp_od.text() + " mm.";
}

} // namespace

std::vector<SubstituteRequest> onOtherClamps(const SubstituteRequest& request) {
    std::vector<SubstituteRequest> others;
    const StackSpec& target = *request.target;
    const int discs = clampDiscs(target);
    if (discs == 0) return others;
    for (const Length od : otherOds(request)) {
        auto stack = onClamp(target, od);
        if (!stack) continue;
        SubstituteRequest other = request;
        other.rules.clamp_od_step = {};
        if (other.rules.most_discs_changed) {
            if (*other.rules.most_discs_changed < discs) continue;
            *other.rules.most_discs_changed -= discs;
        }
        const bool stays = std::any_of(
            request.rules.rows_that_stay.begin(), request.rules.rows_that_stay.end(),
            [&](int row) { return clamps(target, target.rows()[static_cast<std::size_t>(row - 1)]); });
        if (stays) continue;
        other.curve_of = target;
        other.target = std::move(stack);
        others.push_back(std::move(other));
    }
    return others;
}

SubstituteResult searchClamps(const SubstituteRequest& request,
                              const std::function<SubstituteResult(const SubstituteRequest&)>& search) {
    std::vector<SubstituteRequest> others = onOtherClamps(request);
    SubstituteRequest own = request;
    own.rules.clamp_od_step = {};
    if (others.empty()) return search(own);
    double left = request.limits.seconds;
    const auto within = [&](SubstituteRequest& one, std::size_t searches_left) {
        one.limits.seconds = std::max(left / static_cast<double>(searches_left), 0.05);
        SubstituteResult found = search(one);
        left -= found.seconds;
        return found;
    };
    SubstituteResult all = within(own, others.size() + 1);
    if (all.status == SubstituteStatus::bad_request) return all;
    std::vector<double> bounds{all.lower_bound};
    std::vector<bool> proved{all.status != SubstituteStatus::found_not_proved};
    std::size_t searched = 0;
    for (std::size_t i = 0; i < others.size(); ++i) {
        if (all.basis.kind == ProofBasis::Kind::gap) break; // close enough for whoever asked
        ++searched;
        SubstituteResult found = within(others[i], others.size() - i);
        all.examined += found.examined;
        all.excluded += found.excluded;
        all.seconds += found.seconds;
        all.fine_grid = all.fine_grid || found.fine_grid;
        if (found.status == SubstituteStatus::bad_request) { // that clamp's stack has no curve: nothing there
            proved.push_back(true);
            bounds.push_back(1e9);
            continue;
        }
        proved.push_back(found.status != SubstituteStatus::found_not_proved);
        bounds.push_back(found.status == SubstituteStatus::nothing_possible ? 1e9 : found.lower_bound);
        const bool closer = !found.proposals.empty() &&
                            (all.proposals.empty() || found.proposals.front().deviation.max_deviation <
                                                          all.proposals.front().deviation.max_deviation);
        for (SubstituteProposal& proposal : found.proposals) {
            tellAgainst(*others[i].target, proposal);
            all.proposals.push_back(std::move(proposal));
        }
        keepBest(request, all.proposals);
        if (closer) all.message = found.message;
        if (closer && found.basis.kind == ProofBasis::Kind::gap)
            all.basis = found.basis;
        else
            addBasis(all.basis, found.basis);
    }
    if (all.proposals.empty()) {
        const bool every = std::all_of(proved.begin(), proved.end(), [](bool one) { return one; });
        all.status = every ? SubstituteStatus::nothing_possible : SubstituteStatus::found_not_proved;
        all.message += clampsText(*request.target, others, searched);
        return all;
    }
    const double best = all.proposals.front().deviation.max_deviation;
    bool closer_may_exist = false;
    for (std::size_t i = 0; i < proved.size(); ++i)
        closer_may_exist = closer_may_exist || (!proved[i] && bounds[i] < best - request.limits.gap);
    const bool gap = all.basis.kind == ProofBasis::Kind::gap;
    all.status =
        gap || !closer_may_exist ? SubstituteStatus::proved_best : SubstituteStatus::found_not_proved;
    all.lower_bound = gap ? 0 : *std::min_element(bounds.begin(), bounds.end());
    if (all.status == SubstituteStatus::found_not_proved) {
        all.basis = {};
        all.message = "The search ended before everything was looked at; a closer stack may exist.";
    }
    all.message += clampsText(*request.target, others, searched);
    return all;
}

} // namespace shimledger::planner
