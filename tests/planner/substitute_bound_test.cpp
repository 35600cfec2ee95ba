// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/lift_curve.h"
#include "planner/substitute/curve_bounds.h"
#include "tests/planner/random_stacks.h"
#include "tests/sanitized.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <random>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;

// The bounds rest on constants that were found on random stacks (see curve_bounds.h). A stack deviates by
// nothing from its own curve, so with a random stack as the target no box that holds it may be given a bound
// above 0: each case below fails as soon as one of the constants is too small.

namespace {

struct Case {
    test::RandomStackParts parts;
    Regime regime;
};

const std::vector<Case> cases{{{false, false}, Regime::small}, {{false, false}, Regime::large},
                              {{true, false}, Regime::small},  {{true, false}, Regime::large},
                              {{false, true}, Regime::large},  {{true, true}, Regime::large}};

/// One stack made the target, with its bounds.
struct Bench {
    Bench(const StackSpec& stack, std::vector<GroupSums> sums, Regime regime)
        : target(targetCurve({}, comparisonLifts(0.30), std::vector<double>(comparisonLifts(0.30).size()))),
          judge(stack.valve(), groupStack(stack).shapes, regime, target),
          bounds(judge, stack.valve(), groupStack(stack).shapes, regime), itself(std::move(sums)) {
        solved = judge.pressures({itself}, target.lifts_mm, target.pressures_mpa);
    }

    TargetCurve target;
    CurveJudge judge;
    CurveBounds bounds;
    std::vector<GroupSums> itself;
    bool solved = false;
};

/// Every second group changed, each sum by itself, by factors up to exp(+-span).
std::vector<GroupSums> neighbour(const std::vector<GroupSums>& sums, double span, bool gaps_too,
                                 std::mt19937& random) {
    std::vector<GroupSums> other = sums;
    const auto factor = [&] { return std::exp(span * (static_cast<double>(random() % 2001) / 1000 - 1)); };
    for (GroupSums& group : other) {
        if (random() % 2 == 0) continue;
        group.bending_n_mm *= factor();
        group.membrane_n_per_mm *= factor();
        if (gaps_too) group.thickness_mm *= factor();
    }
    return other;
}

SumsBox spannedBy(const std::vector<GroupSums>& a, const std::vector<GroupSums>& b) {
    SumsBox box{a, b, {}, {}};
    for (std::size_t g = 0; g < a.size(); ++g) {
        box.least[g] = {std::min(a[g].thickness_mm, b[g].thickness_mm),
                        std::min(a[g].bending_n_mm, b[g].bending_n_mm),
                        std::min(a[g].membrane_n_per_mm, b[g].membrane_n_per_mm)};
        box.greatest[g] = {std::max(a[g].thickness_mm, b[g].thickness_mm),
                           std::max(a[g].bending_n_mm, b[g].bending_n_mm),
                           std::max(a[g].membrane_n_per_mm, b[g].membrane_n_per_mm)};
    }
    box.leg_least = box.least;
    box.leg_greatest = box.greatest;
    return box;
}

} // namespace

TEST_CASE("the local model of one stack never excludes a stack near it that is the target itself",
          "[bound]") {
    std::mt19937 random(20261125); // fixed seed: the same stacks every time
    int models = 0;
    for (int round = 0; round < test::rounds(240); ++round) {
        const Case& kind = cases[static_cast<std::size_t>(round) % cases.size()];
        const StackSpec stack = test::randomStack(random, kind.parts);
        const std::vector<GroupSums> centre = groupStack(stack).sums;
        const double span = round % 3 == 0 ? 0.05 : round % 3 == 1 ? 0.2 : 0.5;
        const std::vector<GroupSums> itself = neighbour(centre, span, false, random);
        Bench bench(stack, itself, kind.regime);
        if (!bench.solved) continue;
        const auto model = bench.bounds.modelAt(centre);
        if (!model) continue;
        ++models;
        CAPTURE(round, span);
        CHECK(bench.bounds.estimate(*model, {itself, itself, itself, itself}).bound <= 0); // the tightest box
        CHECK(bench.bounds.estimate(*model, spannedBy(centre, itself)).bound <= 0);
    }
    CHECK(models > test::rounds(200));
}

TEST_CASE("the bound by order never excludes a box that holds the target itself", "[bound]") {
    std::mt19937 random(7); // fixed seed: the same stacks every time
    int boxes = 0, telling = 0;
    for (int round = 0; round < test::rounds(400); ++round) {
        const Case& kind = cases[2 + static_cast<std::size_t>(round) % (cases.size() - 2)];
        const StackSpec stack = test::randomStack(random, kind.parts);
        const std::vector<GroupSums> itself = groupStack(stack).sums;
        Bench bench(stack, itself, kind.regime);
        if (!bench.solved) continue;
        std::vector<GroupSums> other = neighbour(itself, 0.3, true, random);
        // Discs in front of a gap move in small steps only, or the bound has nothing to say.
        std::vector<GroupSums> steps = neighbour(itself, 0.004, true, random);
        for (std::size_t g = 0; g < other.size(); ++g) {
            if (bench.bounds.fall(g) > 0) other[g] = steps[g];
        }
        ++boxes;
        CAPTURE(round);
        CHECK(bench.bounds.boundByOrder(spannedBy(itself, other), 1e300) <= 0);
        // The same box moved away from the target is excluded: the bound is not just silent.
        SumsBox stiffer = spannedBy(itself, other);
        for (std::size_t g = 0; g < other.size(); ++g) {
            for (GroupSums* sums :
                 {&stiffer.least[g], &stiffer.greatest[g], &stiffer.leg_least[g], &stiffer.leg_greatest[g]}) {
                sums->bending_n_mm *= 3;
                sums->membrane_n_per_mm *= 3;
            }
        }
        telling += bench.bounds.boundByOrder(stiffer, 1e300) > 0.05;
    }
    CHECK(boxes > test::rounds(350));
    CHECK(telling > test::rounds(200));
}

namespace {

/// Other discs in some groups: levers from a third to three times as long.
std::vector<DiscLevers> otherDiscs(std::vector<DiscLevers> levers, std::mt19937& random) {
    const auto factor = [&] { return std::exp(1.1 * (static_cast<double>(random() % 2001) / 1000 - 1)); };
    for (DiscLevers& group : levers) {
        if (random() % 2 == 0) continue;
        for (double* lever :
             {&group.of_load, &group.of_contact, &group.of_membrane, &group.first_mm, &group.last_mm})
            *lever *= factor();
    }
    return levers;
}

} // namespace

TEST_CASE(
    "with friction the local model of one stack never excludes a stack near it that is the target itself",
    "[bound]") {
    std::mt19937 random(20261201); // fixed seed: the same stacks every time
    int models = 0, kinked = 0;
    double worst = 0, worst_at_kink = 0;
    for (int round = 0; round < test::rounds(240); ++round) {
        const Case& kind = cases[static_cast<std::size_t>(round) % cases.size()];
        const StackSpec stack = test::randomStack(random, kind.parts);
        const GroupedStack grouped = groupStack(stack);
        const double span = round % 3 == 0 ? 0.05 : round % 3 == 1 ? 0.2 : 0.5;
        const std::vector<GroupSums> itself = neighbour(grouped.sums, span, false, random);
        const std::vector<DiscLevers> levers = discLevers(stack, grouped), own = otherDiscs(levers, random);
        const std::vector<double> lifts = comparisonLifts(0.30);
        TargetCurve target = targetCurve({}, lifts, std::vector<double>(lifts.size()));
        target.friction_coefficient = 0.12;
        CurveJudge judge(stack.valve(), grouped.shapes, kind.regime, target);
        if (!judge.pressures({itself, own}, lifts, target.pressures_mpa)) continue;
        CurveBounds bounds(judge, stack.valve(), grouped.shapes, kind.regime);
        const auto model = bounds.modelAt(grouped.sums, levers);
        if (!model) continue;
        ++models;
        CAPTURE(round, span, stack.rows().size());
        SumsBox just_this{itself, itself, itself, itself, {}}, spanned = spannedBy(grouped.sums, itself);
        for (std::size_t g = 0; g < own.size(); ++g) {
            just_this.levers.push_back({own[g], own[g]});
            spanned.levers.push_back({own[g], own[g]});
            spanned.levers.back().take({levers[g], levers[g]});
        }
        CHECK(bounds.estimate(*model, just_this).bound <= 0);
        CHECK(bounds.estimate(*model, spanned).bound <= 0);
        CHECK(bounds.boundByOrder(spanned, 1e300, model.get()) <= 0);
        worst = std::max(worst, bounds.strain(*model, {itself, own}).friction);
        const BoundStrain at_kink = bounds.strainByOrder(spanned, {itself, own}, model.get());
        kinked += at_kink.friction > 0;
        worst_at_kink = std::max(worst_at_kink, at_kink.friction);
    }
    CHECK(models > test::rounds(200));
    CHECK(kinked > test::rounds(50));
    UNSCOPED_INFO("used up of what friction is allowed: " << worst << ", where gaps close " << worst_at_kink);
    CHECK(worst < 0.6); // an audit would widen it
    CHECK(worst > 0.1); // it is not just far too wide
    CHECK(worst_at_kink < 0.6);
}
