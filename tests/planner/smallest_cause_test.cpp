// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/request_check.h"
#include "planner/substitute/smallest_cause.h"
#include "tests/planner/every_stack.h"
#include "tests/sanitized.h"

#include <catch2/catch.hpp>

#include <cstddef>
#include <limits>
#include <random>
#include <set>

using namespace shimledger;
using namespace shimledger::planner;
using namespace shimledger::planner::test;
using namespace shimledger::length_literals;

namespace {

constexpr double enough_seconds = 600;

/// The sizes of one set, as bits of their places in the list of all that are short.
using Set = unsigned;

int sizesIn(Set set) {
    int count = 0;
    for (; set != 0; set >>= 1U) count += static_cast<int>(set & 1U);
    return count;
}

/// True where no stack at all can be built though every size outside `cause` is there in plenty: counted.
bool causesIt(SubstituteRequest request, const std::vector<Shortage>& shortages, Set cause) {
    for (std::size_t i = 0; i < shortages.size(); ++i) {
        if ((cause >> i & 1U) == 0) {
            request.stock.push_back({"more",
                                     "",
                                     shortages[i].od,
                                     6_mm,
                                     shortages[i].thickness,
                                     {},
                                     false,
                                     shortages[i].needed,
                                     99,
                                     0});
        }
    }
    return EveryStack(request, false).tried == 0;
}

/// The causes of fewest sizes, by trying every set.
std::set<Set> smallestByTrying(const SubstituteRequest& request, const std::vector<Shortage>& shortages) {
    std::set<Set> smallest;
    int fewest = std::numeric_limits<int>::max();
    for (Set set = 0; set < (1U << shortages.size()); ++set) {
        if (sizesIn(set) > fewest || !causesIt(request, shortages, set)) continue;
        if (sizesIn(set) < fewest) smallest.clear();
        fewest = sizesIn(set);
        smallest.insert(set);
    }
    return smallest;
}

Set setOf(const std::vector<Shortage>& all, const std::vector<Shortage>& some) {
    Set set = 0;
    for (std::size_t i = 0; i < all.size(); ++i) {
        for (const Shortage& one : some) {
            if (one.od == all[i].od && one.thickness == all[i].thickness) set |= 1U << i;
        }
    }
    return set;
}

StockItem bin(Length od, Length thickness, std::int64_t pieces) {
    return {"A1", "", od, 6_mm, thickness, {}, false, pieces, 0, 0};
}

/// Both groups can be filled, but only far too thick: together they are too high, each alone is not.
SubstituteRequest tooHighTogether() {
    SubstituteRequest request;
    request.target =
        StackSpec({10_mm, 13_mm, 20_mm, 6_mm, {}, 0_mm},
                  {{1, 24_mm, 0.10_mm, {}, {}}, {1, 20_mm, 0.10_mm, {}, {}}, {1, 14_mm, 0.20_mm, {}, {}}});
    request.stock = {bin(24_mm, 0.30_mm, 4), bin(20_mm, 0.30_mm, 4), bin(14_mm, 0.20_mm, 4)};
    request.rules.height_tolerance = 0.30_mm;
    return request;
}

} // namespace

TEST_CASE("two sizes short that are too high only together are named together") {
    const SubstituteRequest request = tooHighTogether();
    const SmallestCause cause = smallestCause(request, enough_seconds);
    REQUIRE(cause.proved);
    CHECK_FALSE(cause.each_alone);
    REQUIRE(cause.shortages.size() == 2);
    CHECK(cause.shortages[0].od == 24_mm);
    CHECK(cause.shortages[1].od == 20_mm);
    const SubstituteResult result = findSubstitutes(request);
    CHECK(result.status == SubstituteStatus::nothing_possible);
    CHECK(result.shortages.size() == 2);
    CHECK(result.message.find("for want of these together: 24.0 x 0.10") != std::string::npos);
}

TEST_CASE("sizes short that each alone exclude every stack are all named, as alternatives") {
    SubstituteRequest request = tooHighTogether();
    request.rules.height_tolerance = 0.10_mm;
    const SmallestCause cause = smallestCause(request, enough_seconds);
    REQUIRE(cause.proved);
    CHECK(cause.each_alone);
    CHECK(cause.shortages.size() == 2);
}

TEST_CASE("without the time to find out, no cause is told") {
    const SmallestCause cause = smallestCause(tooHighTogether(), 0);
    CHECK_FALSE(cause.proved);
    CHECK(cause.shortages.empty());
}

TEST_CASE("discs kept in stock and unmixed drawers have their causes as well") {
    SubstituteRequest request = tooHighTogether();
    request.stock.push_back(bin(24_mm, 0.10_mm, 3)); // one is left where two are kept back
    request.rules.keep_in_stock = 2;
    SmallestCause cause = smallestCause(request, enough_seconds);
    REQUIRE(cause.proved);
    CHECK(cause.shortages.size() == 2);
    request.rules.mix_new_and_used = false;
    cause = smallestCause(request, enough_seconds);
    REQUIRE(cause.proved);
    CHECK(cause.shortages.size() == 2);
}

TEST_CASE("the smallest cause is what trying every set of sizes finds, on random small drawers") {
    std::mt19937 random(20261126);
    int alone = 0, together = 0;
    for (int round = 0; round < rounds(400); ++round) {
        SubstituteRequest request = randomRequest(random, 2, 1);
        request.rules.most_discs_changed.reset();
        if (!whatIsWrongWith(request).empty()) continue;
        const SubstituteResult result = findSubstitutes(request);
        if (result.status != SubstituteStatus::nothing_possible) continue;
        CAPTURE(round, result.message);
        const std::vector<Shortage> shortages = checkAgainstStock(request);
        const std::set<Set> tried = smallestByTrying(request, shortages);
        REQUIRE_FALSE(tried.empty());
        const SmallestCause cause = smallestCause(request, enough_seconds);
        REQUIRE(cause.proved);
        const Set found = setOf(shortages, cause.shortages);
        if (cause.each_alone) {
            ++alone;
            CHECK(tried.size() == cause.shortages.size());
            for (std::size_t i = 0; i < shortages.size(); ++i)
                CHECK(tried.contains(1U << i) == ((found >> i & 1U) == 1));
        } else {
            if (cause.shortages.size() > 1) ++together;
            CHECK(tried.contains(found));
        }
    }
    CHECK(alone >= rounds(20));
    CHECK(together >= rounds(5));
}
