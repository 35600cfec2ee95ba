// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/warp_check.h"

#include "app/services/proposal_text.h"
#include "planner/mechanics/stack_lift.h"
#include "planner/mechanics/warp_branch.h"
#include "planner/substitute/request_check.h"
#include "planner/substitute/sticky_stop.h"
#include "planner/substitute/substitute_search.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <span>
#include <utility>

namespace shimledger::services {

namespace {

constexpr int drawn_points = 30;

void addNote(std::vector<std::string>& notes, const std::string& note) {
    if (!note.empty()) notes.push_back(note);
}

std::string onsetWords(const std::optional<planner::WarpOnset>& onset) {
    return onset ? fmt::format("from {:.2f} mm", onset->lift_mm) : std::string("not");
}

/// The largest difference of the search's own curves up to `last_mm`, with its sign.
double deviationUpTo(const planner::SubstituteProposal& proposal, double last_mm) {
    double signed_deviation = 0;
    for (std::size_t i = 0; i < proposal.lifts_mm.size(); ++i) {
        if (proposal.lifts_mm[i] > last_mm) break;
        const double deviation = proposal.pressures_mpa[i] / proposal.target_pressures_mpa[i] - 1;
        if (std::abs(deviation) > std::abs(signed_deviation)) signed_deviation = deviation;
    }
    return signed_deviation;
}

std::string comparisonSentence(const WarpComparison& comparison,
                               const std::optional<planner::WarpOnset>& target_onset, double working_lift_mm,
                               const std::string& trouble) {
    std::string text;
    if (!target_onset && !comparison.proposal_onset && comparison.whole) {
        text = fmt::format("Both stacks stay round up to {:.2f} mm.", working_lift_mm);
    } else if (comparison.reached_mm > 0) {
        text = fmt::format("With warping it differs by up to {} (at {:.2f} mm) over a lift of {:.2f} mm.",
                           percentText(comparison.warped.signed_deviation), comparison.warped.at_lift_mm,
                           comparison.reached_mm);
    }
    if (target_onset || comparison.proposal_onset) {
        text += fmt::format(" The target warps {}, this stack {}; up to {:.2f} mm both are round and differ "
                            "by up to {}.",
                            onsetWords(target_onset), onsetWords(comparison.proposal_onset),
                            comparison.round_to_mm, percentText(comparison.round_deviation));
    }
    if (!comparison.whole) {
        text += fmt::format(" Beyond {:.2f} mm nothing is known: {}.", comparison.reached_mm,
                            trouble.empty() ? "the curve could not be followed" : trouble);
    }
    return text.starts_with(' ') ? text.substr(1) : text;
}

/// The proposal's pressure by the target's, by the search's own curves.
double searchedRatio(const planner::SubstituteProposal& proposal, double lift_mm) {
    const std::vector<double>& lifts = proposal.lifts_mm;
    const auto ratio = [&](std::size_t i) {
        return proposal.pressures_mpa[i] / proposal.target_pressures_mpa[i];
    };
    const auto next =
        static_cast<std::size_t>(std::lower_bound(lifts.begin(), lifts.end(), lift_mm) - lifts.begin());
    if (next == 0) return ratio(0);
    if (next == lifts.size()) return ratio(next - 1);
    return std::lerp(ratio(next - 1), ratio(next),
                     (lift_mm - lifts[next - 1]) / (lifts[next] - lifts[next - 1]));
}

/// The warp model takes discs of whole micrometres, the search the means of their readings. So where both
/// stacks are round the search's own curves are taken, and the ratio of the two models there goes on past it.
void takeSearchedCurve(std::vector<double>& pressures_mpa, const std::vector<double>& target_mpa,
                       std::span<const double> lifts_mm, const planner::SubstituteProposal& proposal,
                       double round_to_mm) {
    double ratio_of_models = 1;
    for (std::size_t i = 0; i < std::min(pressures_mpa.size(), target_mpa.size()); ++i) {
        const double warped = pressures_mpa[i];
        if (lifts_mm[i] <= round_to_mm) {
            pressures_mpa[i] = target_mpa[i] * searchedRatio(proposal, lifts_mm[i]);
            ratio_of_models = pressures_mpa[i] / warped;
        } else {
            pressures_mpa[i] = warped * ratio_of_models;
        }
    }
}

WarpComparison compare(const planner::WarpPressures& target, planner::WarpPressures built,
                       std::span<const double> lifts_mm, const ComparedRange& range,
                       const planner::SubstituteProposal& proposal) {
    WarpComparison comparison;
    comparison.proposal_onset = built.onset;
    comparison.round_to_mm = range.compared_lift_mm;
    if (built.onset) comparison.round_to_mm = std::min(comparison.round_to_mm, built.onset->lift_mm);
    comparison.round_deviation = deviationUpTo(proposal, comparison.round_to_mm);
    takeSearchedCurve(built.pressures_mpa, target.pressures_mpa, lifts_mm, proposal, comparison.round_to_mm);
    const std::size_t both = std::min(target.pressures_mpa.size(), built.pressures_mpa.size());
    comparison.whole = both == lifts_mm.size() && target.converged && built.converged;
    if (both > 0) {
        comparison.reached_mm = lifts_mm[both - 1];
        comparison.warped = planner::compareCurves(lifts_mm.first(both), {target.pressures_mpa.data(), both},
                                                   {built.pressures_mpa.data(), both});
    }
    comparison.sentence =
        comparisonSentence(comparison, target.onset, range.working_lift_mm,
                           target.converged ? built.reason : "of the target, " + target.reason);
    if (!built.caution.empty()) comparison.sentence += ' ' + built.caution;
    return comparison;
}

} // namespace

WarpDrawing drawWarp(const planner::StackSpec& stack, double lift_mm) {
    WarpDrawing drawing;
    const planner::StackReport round =
        planner::StackLift(stack).overLift(lift_mm, planner::Regime::large, drawn_points);
    for (const planner::LiftPoint& point : round.curve.points()) {
        drawing.round_lifts_mm.push_back(point.lift_mm);
        drawing.round_pressures_mpa.push_back(point.pressure_mpa);
    }
    const planner::WarpCurve curve = planner::warpedCurveOverLift(stack, lift_mm, drawn_points);
    drawing.onset = curve.onset;
    addNote(drawing.notes, curve.caution);
    if (!curve.converged) drawing.notes.push_back("The warped curve ends early: " + curve.reason + ".");
    if (!curve.onset) return drawing;
    for (const planner::WarpPoint& point : curve.points) {
        if (point.max_lift_mm == point.min_lift_mm) continue; // still the round one
        drawing.warped_pressures_mpa.push_back(point.pressure_mpa);
        drawing.mean_lifts_mm.push_back(point.mean_lift_mm);
        drawing.min_lifts_mm.push_back(point.min_lift_mm);
        drawing.max_lifts_mm.push_back(point.max_lift_mm);
    }
    return drawing;
}

ComparedRange comparedRange(const planner::SubstituteRequest& request) {
    ComparedRange range;
    range.working_lift_mm = range.compared_lift_mm = request.rules.working_lift_mm;
    range.sentence = fmt::format("Compared up to the working lift of {:.2f} mm", range.working_lift_mm);
    if (request.rules.regime == planner::Regime::small || !request.target) {
        range.sentence += '.';
        return range;
    }
    const planner::WarpOnsetResult found = planner::findWarpOnset(*request.target, range.working_lift_mm);
    range.target_onset = found.onset;
    if (found.onset) {
        range.compared_lift_mm = std::min(range.working_lift_mm, found.onset->lift_mm);
        range.sentence =
            fmt::format("Compared up to {:.2f} mm, where the target's discs begin to warp; the working lift "
                        "is {:.2f} mm.",
                        range.compared_lift_mm, range.working_lift_mm);
    } else if (found.converged) {
        range.sentence += "; the target's discs stay round over it.";
    } else {
        range.sentence += fmt::format("; whether the target warps is not known: {}.", found.reason);
    }
    if (!found.caution.empty()) range.sentence += ' ' + found.caution;
    return range;
}

planner::SubstituteProposal asProposal(const planner::StackSpec& nominal, std::vector<planner::Pull> pulls) {
    planner::SubstituteProposal proposal;
    for (const planner::DiscRow& row : nominal.rows()) proposal.rows.push_back({row, 0, false});
    proposal.pulls = std::move(pulls);
    proposal.clamp_od = nominal.valve().clamp_od;
    return proposal;
}

planner::StackSpec pulledStack(const planner::StackSpec& target,
                               const planner::SubstituteProposal& proposal) {
    std::map<std::pair<Length, Length>, std::pair<double, double>> sums; // pieces, pieces x micrometres
    for (const planner::Pull& pull : proposal.pulls) {
        auto& [pieces, thickness] = sums[{pull.od, pull.thickness}];
        pieces += static_cast<double>(pull.quantity);
        thickness += static_cast<double>(pull.quantity) *
                     static_cast<double>(pull.measured.value_or(pull.thickness).micrometres());
    }
    std::vector<planner::DiscRow> rows;
    for (const planner::ProposalRow& row : proposal.rows) {
        rows.push_back(row.row);
        const auto sum = sums.find({row.row.od, row.row.thickness});
        if (sum != sums.end() && sum->second.first > 0) {
            rows.back().thickness =
                Length::fromMicrometres(std::llround(sum->second.second / sum->second.first));
        }
    }
    return {valveOf(target, proposal), std::move(rows)};
}

std::vector<WarpComparison> compareWarped(const planner::SubstituteRequest& request,
                                          const ComparedRange& range,
                                          const std::vector<planner::SubstituteProposal>& proposals,
                                          const std::function<bool()>& may_go_on) {
    std::vector<WarpComparison> comparisons;
    if (request.rules.regime == planner::Regime::small || proposals.empty()) return comparisons;
    if (may_go_on && !may_go_on()) return comparisons;
    const std::vector<double> lifts = planner::comparisonLifts(request.rules.working_lift_mm);
    planner::WarpPressures target = planner::warpedPressures(*request.target, lifts);
    for (std::size_t i = 0; i < target.pressures_mpa.size(); ++i)
        target.pressures_mpa[i] *= request.rules.wanted.at(lifts[i]);
    for (const planner::SubstituteProposal& proposal : proposals) {
        if (may_go_on && !may_go_on()) return comparisons;
        const planner::StackSpec built = pulledStack(*request.target, proposal);
        WarpComparison comparison =
            compare(target, planner::warpedPressures(built, lifts), lifts, range, proposal);
        comparison.loading = compareLoading(
            *request.target, built, comparison.round_to_mm,
            [&](double lift_mm) { return searchedRatio(proposal, lift_mm); }, request.rules.compare_loading);
        if (!comparison.loading.sentence.empty()) comparison.sentence += ' ' + comparison.loading.sentence;
        comparisons.push_back(std::move(comparison));
    }
    return comparisons;
}

namespace {

/// One of several that were all compared.
void markWhatRubsLeastDifferently(CheckedSubstitutes& checked) {
    auto& proposals = checked.result.proposals;
    const auto& comparisons = checked.comparisons;
    const bool all = comparisons.size() == proposals.size() &&
                     std::none_of(comparisons.begin(), comparisons.end(),
                                  [](const WarpComparison& one) { return one.loading.sentence.empty(); });
    if (!all || proposals.size() < 2) return;
    const auto least =
        std::min_element(comparisons.begin(), comparisons.end(), [](const auto& a, const auto& b) {
            return std::abs(a.loading.rubbing) < std::abs(b.loading.rubbing);
        });
    proposals[static_cast<std::size_t>(least - comparisons.begin())].merits.rubs_least_differently = true;
}

} // namespace

CheckedSubstitutes findCheckedSubstitutes(const planner::SubstituteRequest& request) {
    CheckedSubstitutes checked;
    if (!planner::whatIsWrongWith(request).empty()) {
        checked.result = planner::findSubstitutes(request); // tells it
        return checked;
    }
    checked.range = comparedRange(request);
    planner::SubstituteRequest searched = request;
    searched.rules = planner::rulesUpTo(searched.rules, checked.range.compared_lift_mm);
    bool stopped = false;
    searched.progress = planner::stickyStop(request.progress, stopped);
    checked.result = planner::findSubstitutes(searched);
    const planner::SubstituteResult& result = checked.result;
    const auto may_go_on = [&] { // whoever stops does not want to wait for more
        if (!searched.progress) return true;
        const double best = result.proposals.empty() ? std::numeric_limits<double>::infinity()
                                                     : result.proposals.front().deviation.max_deviation;
        return searched.progress({result.examined, best, result.lower_bound, result.seconds});
    };
    checked.comparisons = compareWarped(request, checked.range, result.proposals, may_go_on);
    markWhatRubsLeastDifferently(checked);
    if (stopped && checked.comparisons.empty())
        checked.range.sentence += " The search was stopped, so warping was not compared.";
    else if (stopped && checked.comparisons.size() < result.proposals.size())
        checked.range.sentence += " It was stopped before warping was compared for every proposal.";
    return checked;
}

} // namespace shimledger::services
