// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/substitute_search.h"
#include "tests/planner/every_stack.h"
#include "tests/planner/ring_requests.h"
#include "tests/sanitized.h"

#include <catch2/catch.hpp>

#include <random>

using namespace shimledger;
using namespace shimledger::planner;
using namespace shimledger::planner::test;

TEST_CASE("targets with rings are searched, re-checked and proved like others", "[ring]") {
    std::mt19937 random(26); // fixed seed: the same drawers every time
    int proved = 0, impossible = 0, proposals = 0;
    const int requests = rounds(80);
    for (int round = 0; round < requests; ++round) {
        CAPTURE(round);
        SubstituteRequest request = ringRequest(random, 3, 2);
        request.limits.gap = 5e-4;
        const SubstituteResult result = findSubstitutes(request); // throws where a re-check fails
        proved += result.status == SubstituteStatus::proved_best;
        impossible += result.status == SubstituteStatus::nothing_possible;
        proposals += static_cast<int>(result.proposals.size());
    }
    CHECK(proved + impossible >= requests * 97 / 100); // the rest: stacks whose edge sinks before it rises
    CHECK(proved > requests / 5);
    CHECK(proposals > requests / 5);
}

TEST_CASE("a ring may be thicker than the rule on the stack's height, which leaves rings out", "[ring]") {
    SubstituteRequest request;
    request.target = ringStack({{1, um(24000), um(150), {}, {}},
                                {1, um(14000), um(300), {}, {}},
                                {1, um(22000), um(80), um(18000), {}},
                                {1, um(22000), um(200), {}, {}}});
    for (const DiscRow& row : request.target->rows()) {
        const Length thickness = row.ring_id ? um(200) : row.thickness; // the only ring there is
        request.stock.push_back(
            {"A1", "", row.od, row.ring_id.value_or(um(6000)), thickness, {}, false, 4, 0, 0});
    }
    request.rules.height_tolerance = um(0);
    const SubstituteResult result = findSubstitutes(request);
    REQUIRE(result.status == SubstituteStatus::proved_best);
    CHECK(result.proposals.front().rows[2].row.thickness == um(200));
    CHECK(result.proposals.front().height_change == um(0));
}

TEST_CASE("with rings the search finds what trying every stack finds", "[ring]") {
    std::mt19937 random(4712); // fixed seed: the same drawers every time
    int found = 0, impossible = 0;
    long tried = 0;
    for (int round = 0; round < rounds(60); ++round) {
        CAPTURE(round);
        const SubstituteRequest request = ringRequest(random, 2, 2);
        const EveryStack every(request);
        const SubstituteResult result = findSubstitutes(request);
        tried += every.tried;
        if (every.tried == 0) {
            ++impossible;
            CHECK(result.status == SubstituteStatus::nothing_possible);
            continue;
        }
        // A face that a thick ring bends so far that its edge sinks first has no curve, and leaves things
        // open.
        if (every.unsolved == 0) CHECK(result.status == SubstituteStatus::proved_best);
        if (every.unsolved == every.tried) continue;
        ++found;
        REQUIRE_FALSE(result.proposals.empty());
        if (result.fine_grid) continue; // every stack was computed on the default grid
        const double told = result.proposals.front().deviation.max_deviation;
        CHECK(told >= every.best - EveryStack::between_lifts);
        CHECK(told <= every.best * 1.01 + EveryStack::between_lifts);
        CHECK(result.lower_bound <= every.best * 1.01 + EveryStack::between_lifts);
    }
    CHECK(found > rounds(10));
    CHECK(impossible > rounds(10));
    CHECK(tried > rounds(100));
}
