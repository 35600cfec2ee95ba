// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/cheapest_purchase.h"
#include "planner/substitute/substitute_search.h"
#include "planner/substitute/wish_limits.h"
#include "tests/sanitized.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <limits>
#include <random>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;
using namespace shimledger::planner::test;
using namespace shimledger::length_literals;

namespace {

StockItem bin(Length od, Length thickness, std::int64_t pieces) {
    return {"A1", "", od, 6_mm, thickness, {}, false, pieces, 0, 0};
}

PackOffer offer(Length od, Length thickness, std::int64_t size, std::int64_t price) {
    return {"", od, 6_mm, thickness, size, price};
}

/// Drawers that hold just the base, of which a softer curve is wanted.
SubstituteRequest softerRequest() {
    SubstituteRequest request;
    request.target =
        StackSpec({10_mm, 13_mm, 20_mm, 6_mm, {}, 0_mm},
                  {{2, 24_mm, 0.15_mm, {}, {}}, {1, 20_mm, 0.15_mm, {}, {}}, {1, 14_mm, 0.20_mm, {}, {}}});
    request.legs = 1;
    request.stock = {bin(24_mm, 0.15_mm, 2), bin(20_mm, 0.15_mm, 1), bin(14_mm, 0.20_mm, 1)};
    request.rules.wanted = WantedFactor::read("0:0.85");
    return request;
}

double nearest(SubstituteRequest request, const std::vector<PackOffer>& offers,
               const std::vector<std::int64_t>& packs) {
    for (std::size_t i = 0; i < offers.size(); ++i) {
        if (packs[i] > 0)
            request.stock.push_back(bin(offers[i].od, offers[i].thickness, packs[i] * offers[i].pack_size));
    }
    const SubstituteResult result = findSubstitutes(request);
    return result.proposals.empty() ? 1e300 : result.proposals.front().deviation.max_deviation;
}

/// Every purchase of at most so many packs, tried; the least cost, and none where none will do.
std::int64_t cheapestByTrying(const SubstituteRequest& request, const std::vector<PackOffer>& offers,
                              double within, int most) {
    std::int64_t best = std::numeric_limits<std::int64_t>::max();
    std::vector<std::int64_t> packs(offers.size(), 0);
    for (;;) {
        std::int64_t cost = 0, number = 0;
        for (std::size_t i = 0; i < offers.size(); ++i) {
            cost += packs[i] * offers[i].pack_price;
            number += packs[i];
        }
        if (number <= most && cost < best && nearest(request, offers, packs) <= within) best = cost;
        std::size_t i = 0;
        while (i < packs.size() && packs[i] == most) packs[i++] = 0;
        if (i == packs.size()) return best;
        ++packs[i];
    }
}

} // namespace

TEST_CASE("what is near enough already needs no purchase, and what no offer helps is said to be so") {
    const SubstituteRequest request = softerRequest();
    const NearPurchase nothing = cheapestPurchaseWithin(request, {}, 0.5, 3, 20);
    REQUIRE(nothing.purchase);
    CHECK(nothing.purchase->lines.empty());
    const NearPurchase none = cheapestPurchaseWithin(request, {}, 0.01, 3, 20);
    CHECK_FALSE(none.purchase);
    CHECK(none.none);
    const NearPurchase useless =
        cheapestPurchaseWithin(request, {offer(30_mm, 0.10_mm, 10, 100)}, 0.01, 3, 20);
    CHECK(useless.none);
}

TEST_CASE("the cheapest purchase near a wish is what trying every purchase finds") {
    std::mt19937 random(19);
    int bought = 0, none = 0;
    for (int round = 0; round < rounds(8); ++round) {
        SubstituteRequest request = softerRequest();
        const char* wishes[] = {"0:0.85", "0:0.7,0.2:0.9", "0:1.1", "0.1:1,0.2:1.15"};
        request.rules.wanted = WantedFactor::read(wishes[round % 4]);
        std::vector<PackOffer> offers;
        for (int i = 0; i < 4; ++i) {
            const Length ods[] = {24_mm, 20_mm, 14_mm};
            const Length sizes[] = {0.10_mm, 0.12_mm, 0.18_mm, 0.20_mm, 0.25_mm};
            offers.push_back(offer(ods[random() % 3], sizes[random() % 5], 1 + random() % 4,
                                   100 + static_cast<std::int64_t>(random() % 900)));
        }
        const double within = 0.02 + 0.01 * static_cast<double>(random() % 6);
        CAPTURE(round, within);
        const NearPurchase found = cheapestPurchaseWithin(request, offers, within, 2, 120);
        const std::int64_t tried = cheapestByTrying(request, offers, within, 2);
        if (tried == std::numeric_limits<std::int64_t>::max()) {
            CHECK_FALSE(found.purchase);
            ++none;
            continue;
        }
        REQUIRE(found.purchase);
        CHECK(found.purchase->cost == tried);
        CHECK(found.purchase->proved);
        if (tried > 0) ++bought;
    }
    CHECK(bought >= rounds(8) / 6);
    CHECK(none < rounds(8));
}

TEST_CASE("the OD that limits a wish is the one whose other sizes help") {
    SubstituteRequest request = softerRequest();
    const double now = nearest(request, {}, {});
    CHECK(now > 0.1);
    const std::vector<WishLimit> limits = wishLimits(request, {0.10_mm, 0.12_mm, 0.15_mm, 0.20_mm}, now, 20);
    REQUIRE_FALSE(limits.empty());
    for (std::size_t i = 0; i < limits.size(); ++i) {
        CHECK(limits[i].deviation < now);
        CHECK_FALSE(limits[i].sizes.empty());
        if (i > 0) CHECK(limits[i].deviation >= limits[i - 1].deviation);
        // Told by hand: with ten of each of those sizes a stack is as near.
        SubstituteRequest later = request;
        for (const Length size : limits[i].sizes) later.stock.push_back(bin(limits[i].od, size, 10));
        const SubstituteResult found = findSubstitutes(later);
        REQUIRE_FALSE(found.proposals.empty());
        CHECK(found.proposals.front().deviation.max_deviation <= limits[i].deviation + request.limits.gap);
    }
    const bool face = std::any_of(limits.begin(), limits.end(),
                                  [](const WishLimit& limit) { return limit.od == 24_mm && limit.row == 1; });
    CHECK(face);
    request.rules.rows_that_stay = {1};
    for (const WishLimit& limit : wishLimits(request, {0.10_mm, 0.12_mm}, now, 20)) CHECK(limit.od != 24_mm);
}
