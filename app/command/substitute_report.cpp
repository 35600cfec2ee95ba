// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/substitute_report.h"

#include "app/command/onset_json.h"
#include "app/command/verbs.h"

#include "app/services/proposal_text.h"
#include "planner/stack/stack_text.h"
#include "planner/substitute/search_rules.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cstddef>
#include <optional>
#include <ostream>
#include <stdexcept>

namespace shimledger::command {

namespace {

using planner::SubstituteProposal;

void tellProposal(const SubstituteProposal& proposal, bool wish, const services::WarpComparison* warp,
                  int number, std::ostream& out) {
    const std::string merits = services::meritsText(proposal.merits);
    const char* scatter = !proposal.within_scatter ? ""
                          : wish                   ? ", within its scatter"
                                                   : ", within the target's own scatter";
    out << fmt::format("\n{}. {:+.1f} % at {:.2f} mm lift{}{}{}\n", number,
                       100 * proposal.deviation.signed_deviation, proposal.deviation.at_lift_mm,
                       wish ? " of what is wanted" : "", scatter, merits.empty() ? "" : " (" + merits + ")");
    if (wish)
        out << fmt::format("   against the target as it is: {} at {:.2f} mm lift\n",
                           services::percentText(proposal.against_base.signed_deviation),
                           proposal.against_base.at_lift_mm);
    for (const planner::ProposalRow& row : proposal.rows) {
        out << fmt::format("   {:<20}{}\n", planner::rowText(row.row),
                           row.replaces ? fmt::format("* for row {} of the target", row.target_row + 1) : "");
    }
    out << fmt::format("   small lift {:.3f}, full lift {:.3f} of the {} pressure; height {}{} mm; {} "
                       "discs changed a leg\n",
                       proposal.deviation.small_lift_ratio, proposal.deviation.full_lift_ratio,
                       wish ? "wanted" : "target's", proposal.height_change.micrometres() > 0 ? "+" : "",
                       proposal.height_change.text(2), proposal.discs_changed);
    if (proposal.clamp_od)
        out << fmt::format("   on a clamp of {} mm in place of the target's\n", proposal.clamp_od->text());
    if (proposal.own_scatter > 0)
        out << fmt::format("   built from these lots it scatters by +-{:.1f} %\n",
                           100 * proposal.own_scatter);
    if (proposal.leg_difference > 0) {
        out << fmt::format("   the legs differ by {:.1f} % (measured lots):", 100 * proposal.leg_difference);
        for (const double leg : proposal.leg_deviations) out << fmt::format(" {:+.1f} %", 100 * leg);
        out << '\n';
    }
    if (warp != nullptr) out << "   " << warp->sentence << '\n';
    out << "   pull:";
    for (const planner::Pull& pull : proposal.pulls) {
        out << fmt::format(" {} {} x {} x {}{};", pull.bin, pull.quantity, pull.od.text(),
                           pull.thickness.text(2), pull.used ? " used" : "");
    }
    out << '\n';
}

nlohmann::json warpJson(const services::WarpComparison& warp) {
    return {{"onset", onsetJson(warp.proposal_onset)},
            {"round_to_mm", warp.round_to_mm},
            {"round_deviation", warp.round_deviation},
            {"whole_range", warp.whole},
            {"reached_mm", warp.reached_mm},
            {"signed_deviation", warp.warped.signed_deviation},
            {"at_lift_mm", warp.warped.at_lift_mm},
            {"sentence", warp.sentence},
            {"loading_deviation", warp.loading.signed_deviation},
            {"middle_deviation", warp.loading.middle_deviation},
            {"friction_alone", warp.loading.rubbing},
            {"loading_deviation_least_friction", warp.loading.with_least},
            {"loading_deviation_most_friction", warp.loading.with_most}};
}

nlohmann::json proposalJson(const SubstituteProposal& proposal) {
    nlohmann::json discs = nlohmann::json::array(), pulls = nlohmann::json::array();
    for (const planner::ProposalRow& row : proposal.rows) {
        discs.push_back({{"count", row.row.count},
                         {"od_mm", row.row.od.millimetres()},
                         {"thickness_mm", row.row.thickness.millimetres()},
                         {"target_row", row.target_row + 1},
                         {"replaces", row.replaces}});
        if (row.row.ring_id) discs.back()["ring_id_mm"] = row.row.ring_id->millimetres();
    }
    for (const planner::Pull& pull : proposal.pulls) {
        pulls.push_back({{"bin", pull.bin},
                         {"od_mm", pull.od.millimetres()},
                         {"thickness_mm", pull.thickness.millimetres()},
                         {"quantity", pull.quantity},
                         {"per_leg", pull.per_leg},
                         {"condition", pull.used ? "used" : "new"}});
        if (!pull.part.empty()) pulls.back()["part"] = pull.part;
        if (pull.measured) pulls.back()["measured_mm"] = pull.measured->millimetres();
        if (pull.reading_spread_mm > 0) pulls.back()["reading_spread_mm"] = pull.reading_spread_mm;
    }
    return {{"discs", discs},
            {"pulls", pulls},
            {"max_deviation", proposal.deviation.max_deviation},
            {"signed_deviation", proposal.deviation.signed_deviation},
            {"at_lift_mm", proposal.deviation.at_lift_mm},
            {"base_deviation", proposal.against_base.signed_deviation},
            {"base_at_lift_mm", proposal.against_base.at_lift_mm},
            {"small_lift_ratio", proposal.deviation.small_lift_ratio},
            {"full_lift_ratio", proposal.deviation.full_lift_ratio},
            {"height_change_mm", proposal.height_change.millimetres()},
            {"within_scatter", proposal.within_scatter},
            {"own_scatter", proposal.own_scatter},
            {"discs_changed", proposal.discs_changed},
            {"clamp_od_mm",
             proposal.clamp_od ? nlohmann::json(proposal.clamp_od->millimetres()) : nlohmann::json()},
            {"leg_difference", proposal.leg_difference},
            {"leg_deviations", proposal.leg_deviations},
            {"replacement_cost", static_cast<double>(proposal.replacement_cost) / 100},
            {"best_in", services::meritsText(proposal.merits)}};
}

const char* nameOf(planner::ProofBasis::Kind kind) {
    switch (kind) {
    case planner::ProofBasis::Kind::none:
        return "none";
    case planner::ProofBasis::Kind::gap:
        return "gap";
    case planner::ProofBasis::Kind::every_stack:
        return "every_stack";
    case planner::ProofBasis::Kind::bounds:
        return "bounds";
    }
    throw std::logic_error("unknown basis of a proof");
}

nlohmann::json wantedJson(const planner::WantedFactor& wanted) {
    nlohmann::json points = nlohmann::json::array();
    for (const planner::WantedPoint& point : wanted.points())
        points.push_back({{"lift_mm", point.lift_mm}, {"factor", point.factor}});
    return {{"points", points}, {"words", wanted.words()}};
}

/// What limits a wish that nothing comes near.
nlohmann::json farJson(const services::WishAdvice& wish) {
    nlohmann::json limits = nlohmann::json::array();
    for (const planner::WishLimit& limit : wish.limits) {
        nlohmann::json sizes = nlohmann::json::array();
        for (const Length size : limit.sizes) sizes.push_back(size.millimetres());
        limits.push_back({{"row", limit.row},
                          {"od_mm", limit.od.millimetres()},
                          {"max_deviation", limit.deviation},
                          {"sizes_mm", sizes}});
    }
    return {{"within", wish.within}, {"sentence", wish.sentence}, {"limits", limits}};
}

/// The rules as they are declared, with what was asked for.
nlohmann::json rulesJson(const services::SearchSettings& settings) {
    nlohmann::json rules = nlohmann::json::object();
    for (const planner::SearchRule& rule : planner::searchRules()) {
        const std::string text = rule.text(settings.rules, settings.limits);
        using Kind = planner::SearchRule::Kind;
        if (rule.kind == Kind::yes_no) {
            rules[rule.key()] = text == "yes";
        } else if (rule.kind == Kind::words || rule.kind == Kind::rows || rule.kind == Kind::choice ||
                   rule.kind == Kind::curve) {
            rules[rule.key()] = text;
        } else {
            rules[rule.key()] = nlohmann::json::parse(text);
        }
    }
    return rules;
}

nlohmann::json clicksJson(const services::ClickAdvice& advice) {
    nlohmann::json legs = nlohmann::json::array();
    for (const planner::ClickMatch& match : advice.legs) {
        legs.push_back({{"target_click", match.other_click},
                        {"click", match.click},
                        {"force_ratio", match.ratio},
                        {"force_ratio_at_same_click", match.ratio_at_same_click},
                        {"at_end", match.at_end}});
    }
    return {{"sentence", advice.sentence},
            {"one_click_equals", advice.one_click_equals},
            {"legs", std::move(legs)}};
}

} // namespace

void tellSubstitutes(const services::SearchSettings& settings, const services::CheckedSubstitutes& checked,
                     const services::PurchaseAdvice& purchase, const services::WishAdvice& advice,
                     std::ostream& out) {
    const planner::SubstituteResult& result = checked.result;
    const planner::WantedFactor& wanted = settings.rules.wanted;
    const bool wish = !wanted.changesNothing();
    if (wish) out << "Wanted: " << wanted.words() << ".\n";
    for (const planner::Shortage& shortage : result.shortages) out << "Short: " << shortage.sentence << '\n';
    out << result.message << '\n';
    for (const std::string& sentence : {purchase.sentence, advice.sentence}) {
        if (!sentence.empty()) out << sentence << '\n';
    }
    if (!checked.range.sentence.empty()) out << checked.range.sentence << '\n';
    for (std::size_t i = 0; i < result.proposals.size(); ++i) {
        const services::WarpComparison* warp =
            i < checked.comparisons.size() ? &checked.comparisons[i] : nullptr;
        tellProposal(result.proposals[i], wish, warp, static_cast<int>(i) + 1, out);
        if (i < checked.clicks.size() && !checked.clicks[i].sentence.empty())
            out << "   " << checked.clicks[i].sentence << '\n';
    }
    out << fmt::format("\n{}: {} stacks computed, {} excluded by bounds and rules, {:.2f} s\n",
                       planner::substituteStatusName(result.status), result.examined, result.excluded,
                       result.seconds);
}

std::string substitutesJson(const services::SearchSettings& settings,
                            const services::CheckedSubstitutes& checked,
                            const services::PurchaseAdvice& to_be_possible,
                            const services::WishAdvice& wish) {
    const planner::SubstituteResult& result = checked.result;
    const services::PurchaseAdvice& purchase =
        to_be_possible.sentence.empty() ? wish.purchase : to_be_possible;
    nlohmann::json root = {{"status", planner::substituteStatusName(result.status)},
                           {"message", result.message},
                           {"proposals", nlohmann::json::array()},
                           {"examined", result.examined},
                           {"excluded", result.excluded},
                           {"lower_bound", result.lower_bound},
                           {"shortages", nlohmann::json::array()},
                           {"seconds", result.seconds}};
    root["proof"] = {{"basis", nameOf(result.basis.kind)},
                     {"drawn", result.basis.drawn},
                     {"strain", result.basis.strain},
                     {"widened", result.basis.widened},
                     {"fine_grid", result.fine_grid}};
    root["rules"] = rulesJson(settings);
    root["wanted"] = wantedJson(settings.rules.wanted);
    root["compared_to_mm"] = checked.range.compared_lift_mm;
    root["range"] = checked.range.sentence;
    root["target_onset"] = onsetJson(checked.range.target_onset);
    for (std::size_t i = 0; i < result.proposals.size(); ++i) {
        root["proposals"].push_back(proposalJson(result.proposals[i]));
        if (i < checked.comparisons.size())
            root["proposals"].back()["warp"] = warpJson(checked.comparisons[i]);
        if (i < checked.clicks.size()) root["proposals"].back()["clicks"] = clicksJson(checked.clicks[i]);
    }
    for (const planner::Shortage& shortage : result.shortages) {
        root["shortages"].push_back({{"od_mm", shortage.od.millimetres()},
                                     {"thickness_mm", shortage.thickness.millimetres()},
                                     {"needed", shortage.needed},
                                     {"available", shortage.available},
                                     {"sentence", shortage.sentence}});
    }
    if (!wish.sentence.empty()) root["far"] = farJson(wish);
    if (!purchase.sentence.empty()) {
        root["purchase"] = {{"sentence", purchase.sentence}, {"pieces", nlohmann::json::array()}};
        for (const services::ExtraDemand& pieces : purchase.pieces)
            root["purchase"]["pieces"].push_back({{"part", pieces.part}, {"pieces", pieces.pieces}});
    }
    return root.dump(2) + "\n";
}

std::string proposalJsonText(const SubstituteProposal& proposal) {
    return proposalJson(proposal).dump();
}

int exitCodeOf(planner::SubstituteStatus status) {
    switch (status) {
    case planner::SubstituteStatus::proved_best:
        return exit_done;
    case planner::SubstituteStatus::found_not_proved:
        return exit_limit;
    case planner::SubstituteStatus::nothing_possible:
        return exit_impossible;
    case planner::SubstituteStatus::bad_request:
        return exit_bad_input;
    case planner::SubstituteStatus::not_run:
        break;
    }
    return exit_fault;
}

} // namespace shimledger::command
