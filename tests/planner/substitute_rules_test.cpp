// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/request_check.h"
#include "planner/substitute/substitute_search.h"
#include "tests/planner/every_stack.h"
#include "tests/planner/random_drawers.h"
#include "tests/planner/rule_book.h"
#include "tests/sanitized.h"

#include <catch2/catch.hpp>

#include <cstdlib>
#include <random>
#include <string>

using namespace shimledger;
using namespace shimledger::planner;
using namespace shimledger::planner::test;

namespace {

struct Tally {
    int compared = 0, proved = 0, impossible = 0, not_proved = 0, fine = 0;
};

/// One request against every stack that the rules allow.
void compare(const SubstituteRequest& request, Tally& tally) {
    if (!whatIsWrongWith(request).empty()) return;
    const RuleBook book(request, 3000);
    if (book.tooMany()) return;
    const SubstituteResult result = findSubstitutes(request);   // throws where a re-check fails
    if (result.status == SubstituteStatus::bad_request) return; // the target has no curve
    ++tally.compared;
    tally.fine += result.fine_grid;
    CAPTURE(result.message, book.stacks().size());
    if (result.status == SubstituteStatus::nothing_possible) {
        ++tally.impossible;
        CHECK(book.stacks().empty());
        return;
    }
    std::set<RuleBook::Stack> marked;
    for (const RuleBook::Stack& stack : book.stacks()) marked.insert(RuleBook::asMarked(stack));
    for (const SubstituteProposal& proposal : result.proposals)
        CHECK(marked.contains(RuleBook::stackOf(proposal)));
    if (result.status != SubstituteStatus::proved_best) {
        ++tally.not_proved;
        return;
    }
    ++tally.proved;
    // On the fine grid a lift takes some ten milliseconds, so fewer are looked at, and less is asked.
    const auto least =
        result.fine_grid ? book.least(GridOptions::fineGrid(), 120) : book.least(GridOptions::searchGrid());
    REQUIRE(least);
    // As it is weighted. Between two of its many lifts the book does not look.
    const SubstituteProposal& first = result.proposals.front();
    double told = 0;
    for (std::size_t i = 0; i < first.lifts_mm.size(); ++i) {
        const SubstituteRules& rules = request.rules;
        const double weight = !(rules.low_speed_lift_mm > 0)                 ? 1
                              : first.lifts_mm[i] <= rules.low_speed_lift_mm ? rules.low_speed_weight
                                                                             : rules.high_speed_weight;
        told = std::max(told, weight * std::abs(first.pressures_mpa[i] / first.target_pressures_mpa[i] - 1));
    }
    const double between_lifts = result.fine_grid ? 1e-3 + 0.1 * *least : 3e-4; // a peak may be narrow
    CHECK(told <= *least + request.limits.gap + between_lifts);
    // The lifts of a proposal are chosen for the deviation that is told, which is not weighted.
    if (!(request.rules.low_speed_lift_mm > 0)) CHECK(told >= *least - between_lifts);
}

enum class Wishes { none, some };
enum class Compared { middle, loading };

Tally compareMany(unsigned seed, int count, bool any_rules, Wishes wishes = Wishes::none,
                  Compared compared = Compared::middle) {
    RandomDrawers drawers(seed);
    Tally tally;
    for (int round = 0; round < count; ++round) {
        SubstituteRequest request = drawers.request(any_rules);
        if (wishes == Wishes::some) drawers.wish(request);
        request.rules.compare_loading = compared == Compared::loading;
        CAPTURE(seed, round, any_rules, request.rules.wanted.text());
        compare(request, tally);
    }
    return tally;
}

} // namespace

TEST_CASE("no word of the search is false on random drawers, as every stack that the rules allow shows") {
    const Tally plain = compareMany(1, rounds(30), false), ruled = compareMany(2, rounds(30), true);
    CHECK(plain.proved + ruled.proved > rounds(30));
    CHECK(plain.impossible + ruled.impossible > 0);
    CHECK(plain.not_proved + ruled.not_proved < rounds(10));
}

TEST_CASE("no word of the search is false where another curve than the target's is wanted") {
    const Tally plain = compareMany(3, rounds(20), false, Wishes::some),
                ruled = compareMany(4, rounds(20), true, Wishes::some);
    CHECK(plain.proved + ruled.proved > rounds(10));
    CHECK(plain.impossible + ruled.impossible > 0);
    CHECK(plain.not_proved + ruled.not_proved < rounds(10));
}

TEST_CASE("no word of the search is false where curves are compared while the pressure rises") {
    const Tally plain = compareMany(7, rounds(20), false, Wishes::none, Compared::loading),
                ruled = compareMany(8, rounds(20), true, Wishes::some, Compared::loading);
    CHECK(plain.proved + ruled.proved > rounds(10));
    CHECK(plain.impossible + ruled.impossible > 0);
    CHECK(plain.not_proved + ruled.not_proved < rounds(10));
}

namespace {

/// Drawers of more stacks than are simply tried, where curves are compared while the pressure rises: proofs
/// by bounds against every stack.
void compareProofsByBounds(unsigned seed, int wanted) {
    std::mt19937 random(seed); // fixed seed: the same drawers every time
    int compared = 0, with_gaps = 0;
    for (int round = 0; round < 100 * wanted && compared < wanted; ++round) {
        SubstituteRequest request = randomRequest(random, 4, 3);
        request.rules.compare_loading = true;
        request.rules.most_discs_changed.reset();
        request.limits.gap = 0;
        const RuleBook book(request, 8000);
        if (book.tooMany() || book.stacks().size() < 2200) continue;
        const SubstituteResult result = findSubstitutes(request);
        CAPTURE(seed, round, result.message);
        if (result.basis.kind != ProofBasis::Kind::bounds) continue;
        CHECK(result.status == SubstituteStatus::proved_best);
        if (result.fine_grid) continue; // minutes
        const auto least = book.least(GridOptions::searchGrid(), 300);
        REQUIRE(least);
        CHECK(result.proposals.front().deviation.max_deviation <= *least + 5e-4);
        CHECK(result.proposals.front().deviation.max_deviation >= *least - 5e-4);
        with_gaps += request.target->rows().size() > 3;
        ++compared;
    }
    CHECK(compared == wanted);
    CHECK(with_gaps > 0);
}

} // namespace

TEST_CASE("one group of other discs with the same cube sum deviates while the pressure rises as the closed "
          "form says") {
    // At small lift n discs of thickness t in one group add a part of the pressure that goes as t (n - 1).
    const auto um = [](int micrometres) { return Length::fromMicrometres(micrometres); };
    SubstituteRequest request;
    request.target =
        StackSpec({um(10000), um(13000), um(20000), um(6000), {}, um(0)}, {{2, um(24000), um(200), {}, {}}});
    request.legs = 1;
    request.rules.regime = Regime::small;
    request.rules.height_tolerance = um(2000);
    request.stock = {{"A1", "", um(24000), um(6000), um(100), {}, false, 16, 1, 0}};
    const SubstituteResult middle = findSubstitutes(request);
    REQUIRE(middle.status == SubstituteStatus::proved_best);
    CHECK(middle.proposals.front().deviation.max_deviation < 1e-9);

    request.rules.compare_loading = true;
    const SubstituteResult loading = findSubstitutes(request);
    REQUIRE(loading.status == SubstituteStatus::proved_best);
    const SubstituteProposal& thin = loading.proposals.front();
    const int many = thin.rows.front().row.count;
    CHECK(many < 16); // fewer are softer, and rub less
    const GroupedStack grouped = groupStack(*request.target);
    const LiftModel model(request.target->valve(), grouped.shapes, GridOptions::searchGrid());
    LiftWorkspace room = model.makeWorkspace();
    std::vector<StackState> states;
    const std::vector<double> lift{0.3};
    REQUIRE(model.statesAtLifts(grouped.sums, lift, Regime::small, room, states).converged);
    const double of_two = partOfPressure(
        DiscFriction(*request.target, grouped, model).halfWidth(states[0], Regime::small, 0.12).lift_mm,
        states[0].lift_slope_mm_per_mpa, states[0].pressure_mpa);
    const double of_thin = of_two * (0.1 * (many - 1)) / (0.2 * 1);
    CHECK(thin.deviation.signed_deviation ==
          Approx(many / 16.0 * (1 + of_thin) / (1 + of_two) - 1).margin(1e-6));

    // Where one of the thick discs is there it rubs less, so that stack is the closest while the pressure
    // rises.
    request.stock.push_back({"A2", "", um(24000), um(6000), um(200), {}, false, 1, 2, 0});
    const SubstituteResult with_one = findSubstitutes(request);
    REQUIRE(with_one.status == SubstituteStatus::proved_best);
    CHECK(with_one.proposals.front().rows.front().row.thickness == um(200));
    CHECK(with_one.proposals.front().deviation.max_deviation < thin.deviation.max_deviation);
}

TEST_CASE("with friction a proof by bounds holds against every stack") {
    compareProofsByBounds(1, 8);
}

TEST_CASE("with friction sixty proofs by bounds hold against every stack", "[.long]") {
    compareProofsByBounds(2, 60);
}

TEST_CASE("no word of the search is false on thousands of random drawers with friction", "[.long]") {
    const char* text = std::getenv("SHIMLEDGER_DRAWERS"); // how many of each kind
    const int count = text ? std::atoi(text) : 1000;
    const char* seed_text = std::getenv("SHIMLEDGER_SEED");
    const unsigned seed = seed_text ? static_cast<unsigned>(std::atoi(seed_text)) : 20261130;
    for (const bool any_rules : {false, true}) {
        const Tally tally = compareMany(seed, count, any_rules, Wishes::none, Compared::loading);
        WARN((any_rules ? "any rules: " : "default rules: ")
             << tally.compared << " compared with every stack, " << tally.proved << " proved, "
             << tally.impossible << " impossible, " << tally.not_proved << " not proved, " << tally.fine
             << " on the fine grid");
        CHECK(tally.compared > count / 2);
    }
}

TEST_CASE("no word of the search is false on thousands of random drawers and wishes", "[.long]") {
    const char* text = std::getenv("SHIMLEDGER_DRAWERS"); // how many of each kind
    const int count = text ? std::atoi(text) : 1000;
    const char* seed_text = std::getenv("SHIMLEDGER_SEED");
    const unsigned seed = seed_text ? static_cast<unsigned>(std::atoi(seed_text)) : 20261130;
    for (const bool any_rules : {false, true}) {
        const Tally tally = compareMany(seed, count, any_rules, Wishes::some);
        WARN((any_rules ? "any rules: " : "default rules: ")
             << tally.compared << " wishes compared with every stack, " << tally.proved << " proved, "
             << tally.impossible << " impossible, " << tally.not_proved << " not proved, " << tally.fine
             << " on the fine grid");
        CHECK(tally.compared > count / 4);
    }
}

TEST_CASE("no word of the search is false on thousands of random drawers", "[.long]") {
    const char* text = std::getenv("SHIMLEDGER_DRAWERS"); // how many of each kind
    const int count = text ? std::atoi(text) : 1000;
    const char* seed_text = std::getenv("SHIMLEDGER_SEED");
    const unsigned seed = seed_text ? static_cast<unsigned>(std::atoi(seed_text)) : 20261129;
    for (const bool any_rules : {false, true}) {
        const Tally tally = compareMany(seed, count, any_rules);
        WARN((any_rules ? "any rules: " : "default rules: ")
             << tally.compared << " compared with every stack, " << tally.proved << " proved, "
             << tally.impossible << " impossible, " << tally.not_proved << " not proved, " << tally.fine
             << " on the fine grid");
        CHECK(tally.compared > count / 2);
    }
}
