// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/lift_curve.h"
#include "planner/mechanics/lift_model.h"
#include "planner/substitute/request_check.h"
#include "planner/substitute/substitute_search.h"
#include "planner/substitute/target_curve.h"
#include "tests/planner/random_drawers.h"
#include "tests/sanitized.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;
using namespace shimledger::planner::test;
using namespace shimledger::length_literals;
using Catch::Contains;

namespace {

/// Twenty discs of each of four sizes of the three ODs of a crossover stack, all of which the drawers hold.
SubstituteRequest fullDrawers() {
    SubstituteRequest request;
    request.target = StackSpec({10_mm, 13_mm, 20_mm, 6_mm, {}, 0_mm}, {{4, 24_mm, 0.10_mm, {}, {}},
                                                                       {1, 12_mm, 0.10_mm, {}, {}},
                                                                       {2, 22_mm, 0.15_mm, {}, {}},
                                                                       {1, 18_mm, 0.20_mm, {}, {}}});
    for (const Length od : {24_mm, 22_mm, 18_mm, 12_mm}) {
        for (const Length thickness : {0.08_mm, 0.10_mm, 0.12_mm, 0.15_mm, 0.20_mm})
            request.stock.push_back(
                {od.text() + "/" + thickness.text(2), "", od, 6_mm, thickness, {}, false, 20, 0, 0});
    }
    request.limits.seconds = 60;
    request.limits.candidates = 1200; // they could be tried for minutes; the same stacks on any machine
    return request;
}

std::vector<double> pressuresOf(const StackSpec& stack, const std::vector<double>& lifts_mm,
                                const GridOptions& grid = GridOptions::searchGrid()) {
    const GroupedStack grouped = groupStack(stack);
    const LiftModel model(stack.valve(), grouped.shapes, grid);
    LiftWorkspace workspace = model.makeWorkspace();
    std::vector<double> found(lifts_mm.size());
    REQUIRE(model.pressuresAtLifts(grouped.sums, lifts_mm, Regime::large, workspace, found).converged);
    return found;
}

StackSpec stackOf(const SubstituteRequest& request, const SubstituteProposal& proposal) {
    std::vector<DiscRow> rows;
    for (const ProposalRow& row : proposal.rows) rows.push_back(row.row);
    return {request.target->valve(), rows};
}

} // namespace

TEST_CASE("the factor 1 everywhere changes nothing of a search's answer") {
    RandomDrawers drawers(77);
    for (int round = 0; round < rounds(10); ++round) {
        SubstituteRequest request = drawers.request(true);
        const SubstituteResult plain = findSubstitutes(request);
        request.rules.wanted = WantedFactor::read("0:1,0.11:1,0.3:1.0");
        const SubstituteResult same = findSubstitutes(request);
        CAPTURE(round, plain.message);
        CHECK(plain.message == same.message);
        CHECK(plain.status == same.status);
        CHECK(plain.examined == same.examined);
        CHECK(plain.shortages.size() == same.shortages.size());
        REQUIRE(plain.proposals.size() == same.proposals.size());
        for (std::size_t i = 0; i < plain.proposals.size(); ++i) {
            const SubstituteProposal &a = plain.proposals[i], &b = same.proposals[i];
            CHECK(a.lifts_mm == b.lifts_mm);
            CHECK(a.pressures_mpa == b.pressures_mpa);
            CHECK(a.target_pressures_mpa == b.target_pressures_mpa);
            CHECK(a.within_scatter == b.within_scatter);
            CHECK(b.against_base.signed_deviation == b.deviation.signed_deviation);
        }
    }
}

TEST_CASE("a tenth softer at low lift is found in full drawers, within a few per cent, against both curves") {
    SubstituteRequest request = fullDrawers();
    request.rules.wanted = WantedFactor::read("0:0.90,0.12:0.90,0.20:1.0");
    const SubstituteResult result = findSubstitutes(request);
    CAPTURE(result.message);
    REQUIRE_FALSE(result.proposals.empty());
    CHECK(result.shortages.empty());
    CHECK_THAT(result.message, !Contains("target itself"));
    const SubstituteProposal& first = result.proposals.front();
    CHECK(first.discs_changed > 0);
    CHECK(first.deviation.max_deviation < 0.03);
    for (const SubstituteProposal& proposal : result.proposals) {
        // Computed apart: the stack's own curve against the base's, with and without the wish.
        const GridOptions grid = result.fine_grid ? GridOptions::fineGrid() : GridOptions::searchGrid();
        const std::vector<double> own = pressuresOf(*request.target, proposal.lifts_mm, grid),
                                  got = pressuresOf(stackOf(request, proposal), proposal.lifts_mm, grid);
        double wanted_off = 0, base_off = 0;
        for (std::size_t i = 0; i < own.size(); ++i) {
            const double lift = proposal.lifts_mm[i];
            const double factor = lift < 0.12 ? 0.9 : lift > 0.20 ? 1.0 : 0.9 + 0.1 * (lift - 0.12) / 0.08;
            wanted_off = std::max(wanted_off, std::abs(got[i] / (factor * own[i]) - 1));
            if (std::abs(got[i] / own[i] - 1) > std::abs(base_off)) base_off = got[i] / own[i] - 1;
        }
        CHECK(proposal.deviation.max_deviation == Approx(wanted_off).margin(1e-5));
        CHECK(proposal.against_base.signed_deviation == Approx(base_off).margin(1e-5));
        CHECK(proposal.against_base.signed_deviation < 0);
        CHECK(proposal.deviation.max_deviation < 0.1); // every choice is nearer to the wish than the base
    }
}

TEST_CASE("of a face alone, half the pressure at small lift is half the discs") {
    SubstituteRequest request;
    request.target = StackSpec({10_mm, 13_mm, 20_mm, 6_mm, {}, 0_mm}, {{8, 24_mm, 0.10_mm, {}, {}}});
    request.stock.push_back({"A", "", 24_mm, 6_mm, 0.10_mm, {}, false, 40, 0, 0});
    request.rules.height_tolerance = 1_mm;
    request.rules.wanted = WantedFactor::read("0:0.5");
    const SubstituteResult result = findSubstitutes(request);
    REQUIRE(result.status == SubstituteStatus::proved_best);
    CHECK(result.proposals.front().rows.front().row.count == 4);
    CHECK(result.proposals.front().deviation.max_deviation < 1e-6); // p is proportional to the number
    CHECK(result.proposals.front().against_base.signed_deviation == Approx(-0.5).margin(1e-6));
    CHECK_THAT(result.message, Contains("closer to what is wanted"));
}

TEST_CASE("a bend of the wish between the lifts that are compared is where it lies, however sharp") {
    SubstituteRequest request = fullDrawers();
    request.rules.wanted = WantedFactor::read("0.149:1,0.150:0.8,0.151:1");
    const TargetCurveOrReason found = computeTargetCurve(request);
    REQUIRE(found.curve);
    const auto at = std::find_if(found.curve->between_mm.begin(), found.curve->between_mm.end(),
                                 [](double lift) { return std::abs(lift - 0.150) < 1e-9; });
    REQUIRE(at != found.curve->between_mm.end());
    const std::size_t i = static_cast<std::size_t>(at - found.curve->between_mm.begin());
    CHECK(found.curve->between_mpa[i] ==
          Approx(0.8 * pressuresOf(*request.target, {0.150}).front()).epsilon(1e-6));
    request.limits.candidates = 400;
    const SubstituteResult result = findSubstitutes(request); // throws where a re-check fails
    REQUIRE_FALSE(result.proposals.empty());
    // Nothing bends like that: half the way between 1 and 1/0.8 is the best that there could be.
    CHECK(result.proposals.front().deviation.max_deviation > 0.10);
}

TEST_CASE("rows that stay keep their discs whatever is wanted") {
    SubstituteRequest request = fullDrawers();
    request.rules.wanted = WantedFactor::read("0:0.85");
    request.rules.rows_that_stay = {3};
    const SubstituteResult result = findSubstitutes(request);
    REQUIRE_FALSE(result.proposals.empty());
    for (const SubstituteProposal& proposal : result.proposals) {
        int of_row = 0;
        for (const ProposalRow& row : proposal.rows) {
            if (row.row.od != 22_mm) continue;
            CHECK(row.row.thickness == 0.15_mm);
            of_row += row.row.count;
        }
        CHECK(of_row == 2);
    }
    std::erase_if(request.stock, [](const StockItem& item) { return item.bin == "22.0/0.15"; });
    const SubstituteResult none = findSubstitutes(request);
    CHECK(none.status == SubstituteStatus::nothing_possible);
    CHECK_THAT(none.message, Contains("its rows are to stay as they are"));
    request.rules.rows_that_stay = {9};
    CHECK_THAT(findSubstitutes(request).message, Contains("Row 9 is to stay"));
    request.rules.rows_that_stay = {3};
    request.rules.rows_that_may_move = {3};
    CHECK_THAT(findSubstitutes(request).message, Contains("Row 3 is to move"));
}

TEST_CASE("rows that stay are no others that a substitute may change") {
    SubstituteRequest request = fullDrawers();
    request.stock.front().available = 0;
    std::erase_if(request.stock,
                  [](const StockItem& item) { return item.od == 24_mm && item.thickness == 0.10_mm; });
    request.rules.most_other_groups_changed = 3;
    request.rules.rows_that_stay = {3, 4};
    for (const SubstituteProposal& proposal : findSubstitutes(request).proposals) {
        for (const ProposalRow& row : proposal.rows) CHECK((row.target_row < 2 || !row.replaces));
    }
}

TEST_CASE("a wish beyond the working lift is no request, and one cut off with the range is none the worse") {
    SubstituteRequest request = fullDrawers();
    request.rules.wanted = WantedFactor::read("0:0.9,0.31:1");
    const SubstituteResult result = findSubstitutes(request);
    CHECK(result.status == SubstituteStatus::bad_request);
    CHECK_THAT(result.message, Contains("0.31 mm, beyond the working lift of 0.30 mm"));
    request.rules.wanted = WantedFactor::read("0:0.9,0.3:1");
    CHECK(whatIsWrongWith(request).empty());
    request.rules = rulesUpTo(request.rules, 0.2);
    CHECK(whatIsWrongWith(request).empty());
    CHECK(request.rules.wanted.at(0.2) == Approx(0.9 + 0.1 * 0.2 / 0.3));
}

TEST_CASE("the crossover's gap goes as far as its rule says, for a wish too") {
    SubstituteRequest request = fullDrawers();
    request.rules.wanted = WantedFactor::read("0.10:1,0.16:0.8");
    request.rules.rows_that_stay = {1, 3, 4};
    const auto gaps = [&](Length tolerance) {
        request.rules.crossover_gap_tolerance = tolerance;
        Length widest;
        const SubstituteResult result = findSubstitutes(request);
        REQUIRE_FALSE(result.proposals.empty());
        for (const SubstituteProposal& proposal : result.proposals) {
            Length gap;
            for (const ProposalRow& row : proposal.rows)
                if (row.target_row == 1) gap += row.row.count * row.row.thickness;
            CHECK(std::abs((gap - 0.10_mm).micrometres()) <= tolerance.micrometres());
            widest = std::max(widest, gap);
        }
        return std::pair(widest, result.proposals.front().deviation.max_deviation);
    };
    const auto held = gaps(0_mm), free = gaps(0.05_mm);
    CHECK(held.first == 0.10_mm);
    CHECK(free.first > 0.10_mm); // a later second stage is what was asked for
    CHECK(free.second < held.second - 0.01);
}
