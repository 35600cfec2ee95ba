// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/substitute_search.h"
#include "tests/planner/every_stack.h"
#include "tests/sanitized.h"

#include <catch2/catch.hpp>

#include <cstdlib>
#include <map>
#include <random>

using namespace shimledger;
using namespace shimledger::planner;
using namespace shimledger::planner::test;
using namespace shimledger::length_literals;

namespace {

/// How many stacks keep the rules: by number of ways to each height, group by group.
std::int64_t stacksWithin(const SubstituteRequest& request) {
    std::map<std::int64_t, std::int64_t> ways{{0, 1}};
    for (const DiscRow& row : request.target->rows()) {
        std::map<std::int64_t, std::int64_t> of_group{{0, 1}};
        std::map<Length, std::int64_t> held;
        for (const StockItem& item : request.stock) {
            if (item.od == row.od) held[item.thickness] += item.available;
        }
        for (const auto& [thickness, pieces] : held) {
            std::map<std::int64_t, std::int64_t> next;
            for (const auto& [height, count] : of_group) {
                for (std::int64_t n = 0; n <= pieces / request.legs; ++n)
                    next[height + n * thickness.micrometres()] += count;
            }
            of_group = std::move(next);
        }
        of_group.erase(0); // no disc at all
        const std::int64_t gap = (row.count * row.thickness).micrometres();
        std::map<std::int64_t, std::int64_t> next;
        for (const auto& [height, count] : ways) {
            for (const auto& [more, of_this] : of_group) {
                if (row.od != 16_mm || more == gap) next[height + more] += count * of_this;
            }
        }
        ways = std::move(next);
    }
    std::int64_t stacks = 0;
    for (const auto& [height, count] : ways) {
        const std::int64_t off = std::abs(height - request.target->height().micrometres());
        if (off <= request.rules.height_tolerance.micrometres()) stacks += count;
    }
    return stacks;
}

void compare(const SubstituteRequest& request, long& tried, int& found, int& impossible, int& chosen) {
    const EveryStack every(request);
    const SubstituteResult result = findSubstitutes(request);
    tried += every.tried;
    REQUIRE(every.unsolved == 0);
    if (every.tried == 0) {
        ++impossible;
        CHECK(result.status == SubstituteStatus::nothing_possible);
        CHECK_FALSE(result.message.empty());
        return;
    }
    ++found;
    if (!result.shortages.empty() && every.tried > 1) ++chosen;
    REQUIRE(result.status == SubstituteStatus::proved_best);
    if (result.fine_grid) return; // every stack was computed on the default grid
    const double told = result.proposals.front().deviation.max_deviation;
    CHECK(told >= every.best - EveryStack::between_lifts);
    CHECK(told <= every.best * 1.01 + EveryStack::between_lifts);
    CHECK(result.lower_bound <= every.best * 1.01 + EveryStack::between_lifts);
}

} // namespace

TEST_CASE("the search finds what trying every stack finds, on hundreds of random drawers") {
    std::mt19937 random(4711); // fixed seed: the same drawers every time
    long tried = 0;
    int found = 0, impossible = 0, chosen = 0;
    for (int round = 0; round < rounds(300); ++round) {
        CAPTURE(round);
        compare(randomRequest(random, 3, 2), tried, found, impossible, chosen);
    }
    CHECK(found > rounds(60));
    CHECK(impossible > rounds(20));
    CHECK(chosen > rounds(60)); // short ones with a choice, so that the search had something to get wrong
    CHECK(tried > rounds(2000));
}

TEST_CASE("with a face that may move the search finds what trying every stack of each face finds") {
    std::mt19937 random(815);
    int moved = 0, found = 0;
    for (int round = 0; round < rounds(100); ++round) {
        CAPTURE(round);
        SubstituteRequest request = randomRequest(random, 3, 2);
        request.rules.face_od_fixed = false;
        const std::vector<StockItem> held = request.stock;
        for (const StockItem& item : held) { // as many again for a face of another OD
            if (item.od != 24_mm) continue;
            request.stock.push_back(item);
            request.stock.back().od = round % 2 == 0 ? 23_mm : 25_mm;
        }
        const EveryStack own(request), other(request, true, request.stock.back().od);
        const SubstituteResult result = findSubstitutes(request);
        if (own.tried + other.tried == 0) {
            CHECK(result.status == SubstituteStatus::nothing_possible);
            continue;
        }
        ++found;
        REQUIRE(result.status == SubstituteStatus::proved_best);
        if (result.fine_grid) continue; // every stack was computed on the default grid
        const double told = result.proposals.front().deviation.max_deviation;
        CHECK(told >= std::min(own.best, other.best) - EveryStack::between_lifts);
        CHECK(told <= std::min(own.best, other.best) + EveryStack::between_lifts);
        if (other.best < own.best) ++moved;
    }
    CHECK(found > rounds(30));
    CHECK(moved > rounds(5));
}

TEST_CASE("the search finds what trying more than a hundred thousand stacks finds", "[.long]") {
    std::mt19937 random(99);
    int large = 0;
    for (int round = 0; round < 200 && large < 3; ++round) {
        SubstituteRequest request = randomRequest(random, 5, 4);
        request.rules.most_discs_changed.reset();
        request.rules.height_tolerance = um(300);
        // Only those that are large, yet can be tried within minutes.
        const std::int64_t stacks = stacksWithin(request);
        if (stacks < 100'000 || stacks > 400'000) continue;
        CAPTURE(round, stacks);
        long tried = 0;
        int found = 0, impossible = 0, chosen = 0;
        compare(request, tried, found, impossible, chosen);
        CHECK(tried == stacks);
        WARN("stacks tried one by one: " << tried);
        ++large;
    }
    CHECK(large == 3);
}
