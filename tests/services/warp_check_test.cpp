// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/proposal_text.h"
#include "app/services/warp_check.h"

#include "planner/mechanics/stack_lift.h"
#include "planner/stack/stack_text.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <string_view>

using namespace shimledger;
using namespace shimledger::services;

namespace {

Length mm(double millimetres) {
    return Length::fromMillimetres(millimetres);
}

planner::StackSpec stack(std::string_view text) {
    return {{mm(10), mm(13), mm(20), mm(6), {}, {}}, planner::parseStackText(text)};
}

planner::StockItem item(const char* bin, double od, double thickness, int count) {
    planner::StockItem discs;
    discs.bin = bin;
    discs.od = mm(od);
    discs.id = mm(6);
    discs.thickness = mm(thickness);
    discs.available = count;
    return discs;
}

/// A lone disc of 0.15 that the drawers do not hold: thinner ones can stand in for it. It warps near 0.30 mm.
planner::SubstituteRequest loneDisc() {
    planner::SubstituteRequest request;
    request.target = stack("24 x 0.15");
    request.legs = 1;
    request.stock = {item("A1", 24, 0.10, 20), item("A2", 24, 0.12, 20)};
    request.rules.working_lift_mm = 0.40;
    return request;
}

} // namespace

TEST_CASE(
    "The search compares up to the target's onset where that comes before the working lift, and says so") {
    planner::SubstituteRequest request = loneDisc();
    const ComparedRange past = comparedRange(request);
    REQUIRE(past.target_onset.has_value());
    CHECK(past.compared_lift_mm == Approx(0.30).margin(0.03));
    CHECK(past.compared_lift_mm == past.target_onset->lift_mm);
    CHECK(past.sentence.find("begin to warp") != std::string::npos);

    request.rules.working_lift_mm = 0.20;
    const ComparedRange before = comparedRange(request);
    CHECK_FALSE(before.target_onset.has_value());
    CHECK(before.compared_lift_mm == 0.20);
    CHECK(before.sentence.find("stay round") != std::string::npos);

    request.rules.working_lift_mm = 0.40;
    request.rules.regime = planner::Regime::small; // knows no warping
    CHECK(comparedRange(request).compared_lift_mm == 0.40);
}

TEST_CASE("Every proposal is compared with its target over the whole working range, warped") {
    const CheckedSubstitutes checked = findCheckedSubstitutes(loneDisc());
    REQUIRE_FALSE(checked.result.proposals.empty());
    REQUIRE(checked.comparisons.size() == checked.result.proposals.size());
    for (std::size_t i = 0; i < checked.comparisons.size(); ++i) {
        const WarpComparison& comparison = checked.comparisons[i];
        INFO(comparison.sentence);
        CHECK(checked.result.proposals[i].lifts_mm.back() == Approx(checked.range.compared_lift_mm));
        CHECK(comparison.whole);
        CHECK(comparison.reached_mm == Approx(0.40));
        CHECK(comparison.round_to_mm <= checked.range.compared_lift_mm);
        CHECK(std::abs(comparison.warped.signed_deviation) == Approx(comparison.warped.max_deviation));
        CHECK(comparison.sentence.find("With warping it differs by up to") != std::string::npos);
        REQUIRE(comparison.proposal_onset.has_value()); // thinner discs warp sooner
        CHECK(comparison.round_to_mm == comparison.proposal_onset->lift_mm);
        CHECK(comparison.sentence.find("both are round and differ by up to") != std::string::npos);
        // Up to the smaller onset both tell the same, within what lies between the lifts that are looked at.
        CHECK(comparison.warped.max_deviation > std::abs(comparison.round_deviation) - 0.003);
    }
}

TEST_CASE(
    "Of several proposals the one that rubs most as its target does is told, whatever its number of discs") {
    planner::SubstituteRequest request = loneDisc();
    request.target = stack("4 x 24 x 0.15, 22 x 0.15, 20 x 0.15");
    request.rules.working_lift_mm = 0.20;
    request.rules.most_discs = 30;
    request.limits.gap = 0;
    request.stock = {item("A1", 24, 0.10, 20), item("A2", 24, 0.20, 4), item("A3", 24, 0.12, 12),
                     item("A4", 22, 0.15, 4), item("A5", 20, 0.15, 4)};
    const CheckedSubstitutes checked = findCheckedSubstitutes(request);
    REQUIRE(checked.result.proposals.size() >= 2);
    REQUIRE(checked.comparisons.size() == checked.result.proposals.size());
    // What friction adds at full lift, by a program's own verb as it were: the loop of each stack alone.
    const auto added = [](const planner::StackSpec& spec) {
        const auto curve = planner::StackLift(spec).overLift(0.20, planner::Regime::large, 20, 0.12).curve;
        double most = 0;
        for (const planner::LiftPoint& point : curve.points())
            most = std::max(most,
                            point.friction_half_width_mm / point.lift_slope_mm_per_mpa / point.pressure_mpa);
        return most;
    };
    const double target = added(*request.target);
    std::size_t marked = 0, nearest = 0;
    std::vector<double> off;
    for (std::size_t i = 0; i < checked.comparisons.size(); ++i) {
        off.push_back(std::abs(added(pulledStack(*request.target, checked.result.proposals[i])) - target));
        if (off[i] < off[nearest]) nearest = i;
        if (!checked.result.proposals[i].merits.rubs_least_differently) continue;
        ++marked;
        CHECK(meritsText(checked.result.proposals[i].merits).find("rubs least differently") !=
              std::string::npos);
        for (const WarpComparison& other : checked.comparisons)
            CHECK(std::abs(checked.comparisons[i].loading.rubbing) <= std::abs(other.loading.rubbing));
    }
    CHECK(marked == 1);
    CHECK(checked.result.proposals[nearest].merits.rubs_least_differently);
    CHECK(*std::max_element(off.begin(), off.end()) > 2 * off[nearest]); // they do differ
}

TEST_CASE("A stack compared with itself does not differ, warped or not") {
    planner::SubstituteRequest request = loneDisc();
    request.stock.push_back(item("A3", 24, 0.15, 1));
    const CheckedSubstitutes checked = findCheckedSubstitutes(request);
    REQUIRE_FALSE(checked.comparisons.empty());
    CHECK(checked.comparisons.front().warped.max_deviation == 0);
    REQUIRE(checked.comparisons.front().proposal_onset.has_value());
    CHECK(checked.comparisons.front().proposal_onset->lift_mm ==
          Approx(checked.range.target_onset->lift_mm).margin(0.0005));
}

TEST_CASE(
    "Where both stacks stay round, one deviation is told, also for discs whose mean is no whole micrometre") {
    planner::SubstituteRequest request = loneDisc();
    request.rules.working_lift_mm = 0.20;
    request.limits.gap = 0; // else the first within it ends the search
    request.legs = 2;
    request.stock = {item("A1", 24, 0.12, 1), item("A2", 24, 0.12, 1), item("A3", 24, 0.10, 2)};
    request.stock[0].measured = mm(0.121);
    request.stock[1].measured = mm(0.118);
    const CheckedSubstitutes checked = findCheckedSubstitutes(request);
    REQUIRE_FALSE(checked.comparisons.empty());
    bool mixed = false;
    for (std::size_t i = 0; i < checked.comparisons.size(); ++i) {
        const planner::SubstituteProposal& proposal = checked.result.proposals[i];
        INFO(checked.comparisons[i].sentence);
        mixed = mixed || std::any_of(proposal.pulls.begin(), proposal.pulls.end(),
                                     [](const planner::Pull& pull) { return pull.measured.has_value(); });
        CHECK(checked.comparisons[i].sentence.starts_with(
            "Both stacks stay round up to 0.20 mm. With friction"));
        CHECK(checked.comparisons[i].warped.signed_deviation ==
              Approx(proposal.deviation.signed_deviation).margin(1e-9));
    }
    CHECK(mixed);
}

TEST_CASE("A search that is stopped does not go on to compare warping, and says so") {
    planner::SubstituteRequest request = loneDisc();
    request.progress = [](const planner::SubstituteProgress&) { return true; };
    CHECK_FALSE(findCheckedSubstitutes(request).comparisons.empty());
    // Enough to look at that the search asks whether to go on.
    request.target = stack("4 x 24 x 0.15, 22 x 0.15, 20 x 0.15, 18 x 0.15");
    request.stock.clear();
    for (const double od : {24.0, 22.0, 20.0, 18.0}) {
        for (int i = 0; i < 12; ++i) request.stock.push_back(item("B1", od, 0.06 + 0.008 * i, 8));
    }
    request.rules.most_other_groups_changed = 4;
    request.limits.gap = 0;
    bool asked = false;
    request.progress = [&asked](const planner::SubstituteProgress&) {
        asked = true;
        return false;
    };
    const CheckedSubstitutes stopped = findCheckedSubstitutes(request);
    INFO(stopped.result.message << ' ' << stopped.result.examined << ' ' << stopped.result.seconds);
    REQUIRE(asked);
    CHECK(stopped.result.status == planner::SubstituteStatus::found_not_proved);
    CHECK(stopped.comparisons.empty());
    CHECK(stopped.range.sentence.find("was stopped") != std::string::npos);
}

TEST_CASE("A search that is stopped while warping is compared tells no comparison that was not made") {
    planner::SubstituteRequest request = loneDisc();
    const CheckedSubstitutes whole = findCheckedSubstitutes(request);
    REQUIRE_FALSE(whole.comparisons.empty());
    for (const int last : {0, 1}) {
        CAPTURE(last);
        int calls = 0;
        // On a busy machine the search itself tells how far it is, too: it is let through.
        request.progress = [&](const planner::SubstituteProgress& progress) {
            return progress.examined < whole.result.examined || calls++ < last;
        };
        const CheckedSubstitutes stopped = findCheckedSubstitutes(request);
        REQUIRE_FALSE(stopped.result.proposals.empty());
        CHECK(stopped.comparisons.size() < whole.comparisons.size());
        CHECK_THAT(stopped.range.sentence, Catch::Contains("stopped"));
        for (std::size_t i = 0; i < stopped.comparisons.size(); ++i)
            CHECK(stopped.comparisons[i].sentence == whole.comparisons[i].sentence);
    }
}

TEST_CASE("A bad request is told by the result and nothing is compared") {
    planner::SubstituteRequest request = loneDisc();
    request.rules.working_lift_mm = -1;
    const CheckedSubstitutes checked = findCheckedSubstitutes(request);
    CHECK(checked.result.status == planner::SubstituteStatus::bad_request);
    CHECK(checked.comparisons.empty());
}

TEST_CASE("A low-speed limit past the onset leaves one range, not a bad request") {
    planner::SubstituteRequest request = loneDisc();
    request.rules.low_speed_lift_mm = 0.35;
    const CheckedSubstitutes checked = findCheckedSubstitutes(request);
    INFO(checked.result.message);
    CHECK_FALSE(checked.result.proposals.empty());
}

TEST_CASE("Measured discs are warped with their measured thickness") {
    planner::SubstituteProposal proposal;
    proposal.rows = {{{2, mm(24), mm(0.10), {}, {}}, 0, true}};
    planner::Pull first, second;
    first.od = second.od = mm(24);
    first.thickness = second.thickness = mm(0.10);
    first.quantity = 3;
    first.measured = mm(0.104);
    second.quantity = 1;
    proposal.pulls = {first, second};
    CHECK(pulledStack(stack("24 x 0.15"), proposal).rows().front().thickness == mm(0.103));
}

TEST_CASE("What is drawn has its mark, a round curve to the end and a band past the onset") {
    const WarpDrawing drawing = drawWarp(stack("24 x 0.15"), 0.45);
    REQUIRE(drawing.onset.has_value());
    REQUIRE(drawing.notes.size() == 1); // past 1.5 times the load of the onset nothing was checked
    CHECK(drawing.notes.front().find("not checked") != std::string::npos);
    CHECK(drawing.round_lifts_mm.back() == Approx(0.45));
    REQUIRE(drawing.mean_lifts_mm.size() > 3);
    CHECK(drawing.mean_lifts_mm.back() >= 0.45);
    CHECK(std::is_sorted(drawing.warped_pressures_mpa.begin(), drawing.warped_pressures_mpa.end()));
    CHECK(drawing.max_lifts_mm.back() > 1.05 * drawing.min_lifts_mm.back());
    for (std::size_t i = 0; i < drawing.mean_lifts_mm.size(); ++i) {
        CHECK(drawing.min_lifts_mm[i] <= drawing.mean_lifts_mm[i]);
        CHECK(drawing.mean_lifts_mm[i] <= drawing.max_lifts_mm[i]);
    }
    const WarpDrawing round = drawWarp(stack("24 x 0.15"), 0.20);
    CHECK_FALSE(round.onset.has_value());
    CHECK(round.mean_lifts_mm.empty());
    CHECK(round.round_lifts_mm.size() == 30);
}

TEST_CASE("More discs rub more: the loading curve is stiffer than the middles say, in proportion to the "
          "coefficient") {
    const auto same = [](double) { return 1.0; };
    const LoadingComparison alike = compareLoading(stack("4 x 24 x 0.10"), stack("4 x 24 x 0.10"), 0.2, same);
    CHECK(alike.signed_deviation == 0);
    CHECK_FALSE(alike.sentence.empty());
    const LoadingComparison rubs = compareLoading(stack("24 x 0.20"), stack("8 x 24 x 0.10"), 0.2, same);
    CHECK(rubs.with_least > 0.005);
    CHECK(rubs.with_most == Approx(2 * rubs.with_least));
    CHECK(rubs.signed_deviation == Approx(1.5 * rubs.with_least));
    const LoadingComparison less = compareLoading(stack("8 x 24 x 0.10"), stack("24 x 0.20"), 0.2, same);
    CHECK(less.signed_deviation < -0.005);
}

TEST_CASE("A search that compared loading curves is told with its middle, one that compared middles with its "
          "loading") {
    const auto thick = stack("24 x 0.20"), thin = stack("8 x 24 x 0.10");
    const auto same = [](double) { return 1.0; };
    const double rubbing = compareLoading(thick, thin, 0.2, same).signed_deviation;
    // Equal while the pressure rises: softer in the middle by what friction adds.
    const LoadingComparison loading = compareLoading(thick, thin, 0.2, same, true);
    CHECK(loading.signed_deviation == Approx(0).margin(1e-12));
    CHECK(loading.middle_deviation == Approx(1 / (1 + rubbing) - 1).epsilon(1e-6));
    CHECK(loading.with_least < 0);
    CHECK(loading.with_most > 0);
    CHECK(loading.sentence.find("Without friction, in the middle of the loop") != std::string::npos);
    const LoadingComparison middle = compareLoading(thick, thin, 0.2, same);
    CHECK(middle.middle_deviation == 0);
    CHECK(middle.rubbing == Approx(rubbing));
}
