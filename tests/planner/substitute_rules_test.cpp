// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/request_check.h"
#include "planner/substitute/substitute_search.h"
#include "tests/planner/random_drawers.h"
#include "tests/planner/rule_book.h"
#include "tests/sanitized.h"

#include <catch2/catch.hpp>

#include <cstdlib>
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
    const auto least = book.least(result.fine_grid ? GridOptions::fineGrid() : GridOptions::searchGrid());
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
    constexpr double between_lifts = 3e-4;
    CHECK(told <= *least + request.limits.gap + between_lifts);
    // The lifts of a proposal are chosen for the deviation that is told, which is not weighted.
    if (!(request.rules.low_speed_lift_mm > 0)) CHECK(told >= *least - between_lifts);
}

enum class Wishes { none, some };

Tally compareMany(unsigned seed, int count, bool any_rules, Wishes wishes = Wishes::none) {
    RandomDrawers drawers(seed);
    Tally tally;
    for (int round = 0; round < count; ++round) {
        SubstituteRequest request = drawers.request(any_rules);
        if (wishes == Wishes::some) drawers.wish(request);
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
