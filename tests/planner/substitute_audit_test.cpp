// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/substitute_search.h"
#include "tests/planner/every_stack.h"
#include "tests/sanitized.h"

#include <catch2/catch.hpp>

#include <random>

using namespace shimledger;
using namespace shimledger::planner;
using namespace shimledger::planner::test;

// What these cases look at is the audit's own word: with the constants of the bounds as they are it has
// little to say (one proof of 26 is begun again), and tests/analysis/mutations.py breaks them one after the
// other, which it must notice by itself.

TEST_CASE("few proofs strain their bounds, as stacks that they excluded show", "[audit]") {
    std::mt19937 random(11); // fixed seed: the same drawers every time
    int by_bounds = 0, widened = 0;
    std::int64_t drawn = 0;
    double most = 0;
    for (int round = 0; round < 400 && by_bounds < rounds(20); ++round) {
        SubstituteRequest request = randomRequest(random, 5, 4);
        request.rules.height_tolerance = um(300);
        request.rules.most_discs_changed.reset();
        request.rules.most_other_groups_changed = 1;
        request.limits.gap = 5e-4;
        request.limits.seconds = 120;
        const SubstituteResult result = findSubstitutes(request);
        if (result.basis.kind != ProofBasis::Kind::bounds) continue;
        CAPTURE(round, result.basis.strain);
        CHECK(result.status == SubstituteStatus::proved_best);
        widened += result.basis.widened > 0;
        ++by_bounds;
        drawn += result.basis.drawn;
        most = std::max(most, result.basis.strain);
    }
    CHECK(by_bounds >= rounds(20));
    CHECK(widened <= by_bounds / 8); // each of them was begun again with wider ones
    CHECK(drawn > 100 * by_bounds);
    CHECK(most > 0.2); // the bounds are not so wide that the audit could never say anything
}

TEST_CASE("nor where curves are compared with friction", "[audit]") {
    std::mt19937 random(13); // fixed seed: the same drawers every time
    int by_bounds = 0, widened = 0;
    for (int round = 0; round < 400 && by_bounds < rounds(12); ++round) {
        SubstituteRequest request = randomRequest(random, 4, 4);
        request.rules.compare_loading = true;
        request.rules.height_tolerance = um(300);
        request.rules.most_discs_changed.reset();
        request.limits.seconds = 120;
        const SubstituteResult result = findSubstitutes(request);
        if (result.basis.kind != ProofBasis::Kind::bounds) continue;
        CAPTURE(round, result.basis.strain);
        CHECK(result.status == SubstituteStatus::proved_best);
        widened += result.basis.widened > 0;
        ++by_bounds;
    }
    CHECK(by_bounds >= rounds(12));
    CHECK(widened <= by_bounds / 2); // how friction is shared out varies more than how plates bend
}

TEST_CASE("nor where a group has one state only, which is not the target's", "[audit]") {
    std::mt19937 random(12); // fixed seed: the same drawers every time
    int by_bounds = 0, widened = 0;
    for (int round = 0; round < 60 && by_bounds < rounds(6); ++round) {
        SubstituteRequest request;
        request.target = StackSpec({um(10000), um(13000), um(20000), um(6000), {}, um(0)},
                                   {{4, um(24000), um(150), {}, {}},
                                    {2, um(21000), um(150), {}, {}},
                                    {1, um(18000), um(150), {}, {}},
                                    {1, um(15000), um(150), {}, {}}});
        request.legs = 1;
        const std::vector<int> thicknesses{80, 100, 120, 180, 200, 250};
        for (const int od : {24, 21, 15}) {
            for (const int thickness : thicknesses)
                request.stock.push_back({std::to_string(od),
                                         "",
                                         um(od * 1000),
                                         um(6000),
                                         um(thickness),
                                         {},
                                         false,
                                         static_cast<std::int64_t>(random() % 4),
                                         0,
                                         0});
        }
        const int single = thicknesses[random() % thicknesses.size()];
        request.stock.push_back({"18", "", um(18000), um(6000), um(single), {}, false, 1, 0, 0});
        request.rules.regime = round % 2 == 0 ? Regime::small : Regime::large;
        request.limits.seconds = 120;
        const SubstituteResult result = findSubstitutes(request);
        if (result.basis.kind != ProofBasis::Kind::bounds) continue;
        CAPTURE(round, result.basis.strain);
        widened += result.basis.widened > 0;
        ++by_bounds;
    }
    CHECK(by_bounds >= rounds(6));
    CHECK(widened <= by_bounds / 4);
}
