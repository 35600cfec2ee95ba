// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/stack_lift.h"
#include "planner/substitute/pulled_sums.h"
#include "planner/substitute/substitute_search.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::planner;
using namespace shimledger::length_literals;

TEST_CASE("a stack followed with the sums of what is pulled for it has the curve that the search told") {
    SubstituteRequest request;
    request.target = StackSpec({10_mm, 13_mm, 20_mm, 6_mm, {}, 0_mm},
                               {{3, 24_mm, 0.15_mm, {}, {}}, {1, 18_mm, 0.20_mm, {}, {}}});
    // One lot was read and one was not; a third is of two readings that differ by less than a micrometre.
    request.stock = {{"A1", "", 24_mm, 6_mm, 0.15_mm, 0.153_mm, false, 3, 1, 0},
                     {"A2", "", 24_mm, 6_mm, 0.15_mm, {}, true, 3, 2, 0},
                     {"A3", "", 18_mm, 6_mm, 0.20_mm, 0.198_mm, false, 1, 3, 0},
                     {"A4", "", 18_mm, 6_mm, 0.20_mm, 0.199_mm, false, 1, 4, 0}};
    const SubstituteResult result = findSubstitutes(request);
    REQUIRE(result.status == SubstituteStatus::proved_best);
    const SubstituteProposal& proposal = result.proposals.front();
    std::vector<DiscRow> rows;
    for (const ProposalRow& row : proposal.rows) rows.push_back(row.row);
    const StackSpec built(request.target->valve(), rows);
    StackLift lift(built, pulledSums(built, proposal.pulls),
                   result.fine_grid ? GridOptions::fineGrid() : GridOptions::searchGrid());
    const StackReport report = lift.atPressures(proposal.pressures_mpa, Regime::large);
    REQUIRE(report.curve.points().size() == proposal.lifts_mm.size());
    // What is told is the leg that deviates most; the sums are of both.
    CHECK(proposal.leg_difference < 0.01);
    for (std::size_t i = 0; i < proposal.lifts_mm.size(); ++i)
        CHECK(report.curve.points()[i].lift_mm ==
              Approx(proposal.lifts_mm[i]).epsilon(1e-4 + proposal.leg_difference));
    CHECK(proposal.deviation.max_deviation > 0.003); // not what the nominal sizes would give

    const auto nominal = pulledSums(built, {});
    const auto plain = groupStack(built).sums;
    for (std::size_t g = 0; g < plain.size(); ++g)
        CHECK(nominal[g].bending_n_mm == Approx(plain[g].bending_n_mm).epsilon(1e-12));
}
