// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/cheapest_purchase.h"
#include "planner/substitute/substitute_search.h"
#include "tests/sanitized.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <limits>
#include <random>

using namespace shimledger;
using namespace shimledger::planner;
using namespace shimledger::length_literals;

namespace {

StockItem bin(Length od, Length thickness, std::int64_t pieces) {
    return {"A1", "", od, 6_mm, thickness, {}, false, pieces, 0, 0};
}

PackOffer offer(Length od, Length thickness, std::int64_t size, std::int64_t price) {
    return {"", od, 6_mm, thickness, size, price};
}

/// Two legs; of 20 mm there is one disc, of 14 mm none.
SubstituteRequest impossibleRequest() {
    SubstituteRequest request;
    request.target =
        StackSpec({10_mm, 13_mm, 20_mm, 6_mm, {}, 0_mm},
                  {{2, 24_mm, 0.15_mm, {}, {}}, {1, 20_mm, 0.15_mm, {}, {}}, {1, 14_mm, 0.20_mm, {}, {}}});
    request.stock = {bin(24_mm, 0.15_mm, 8), bin(20_mm, 0.15_mm, 1)};
    return request;
}

SubstituteRequest withAll(SubstituteRequest request, const std::vector<PackOffer>& offers,
                          const std::vector<std::int64_t>& packs) {
    for (std::size_t i = 0; i < offers.size(); ++i) {
        if (packs[i] > 0)
            request.stock.push_back(bin(offers[i].od, offers[i].thickness, packs[i] * offers[i].pack_size));
    }
    return request;
}

/// Every purchase of up to `most` packs of each offer, tried.
std::int64_t cheapestByTrying(const SubstituteRequest& request, const std::vector<PackOffer>& offers,
                              int most) {
    std::int64_t best = std::numeric_limits<std::int64_t>::max();
    std::vector<std::int64_t> packs(offers.size(), 0);
    for (;;) {
        std::int64_t cost = 0;
        for (std::size_t i = 0; i < offers.size(); ++i) cost += packs[i] * offers[i].pack_price;
        if (cost < best && !findSubstitutes(withAll(request, offers, packs)).proposals.empty()) best = cost;
        std::size_t i = 0;
        while (i < packs.size() && packs[i] == most) packs[i++] = 0;
        if (i == packs.size()) return best;
        ++packs[i];
    }
}

} // namespace

TEST_CASE("who stops the look for a purchase is told none") {
    const std::vector<PackOffer> offers{offer(20_mm, 0.15_mm, 10, 900), offer(14_mm, 0.20_mm, 10, 700)};
    SubstituteRequest request = impossibleRequest();
    bool on = true;
    request.progress = [&](const SubstituteProgress&) { return on; };
    CHECK(cheapestPurchase(request, offers).has_value());
    on = false;
    CHECK_FALSE(cheapestPurchase(request, offers).has_value());
}

TEST_CASE("an impossible job is told the cheapest packs that make it possible, each empty group by itself") {
    const std::vector<PackOffer> offers{
        offer(20_mm, 0.15_mm, 10, 900), // one would do, but two of 0.10 cost less
        offer(20_mm, 0.10_mm, 1, 300), offer(14_mm, 0.20_mm, 10, 700), offer(14_mm, 0.30_mm, 2, 250),
        offer(26_mm, 0.15_mm, 10, 1)};
    const SubstituteRequest request = impossibleRequest();
    REQUIRE(findSubstitutes(request).status == SubstituteStatus::nothing_possible);
    const auto purchase = cheapestPurchase(request, offers);
    REQUIRE(purchase.has_value());
    CHECK(purchase->proved);
    CHECK(purchase->cost == cheapestByTrying(request, offers, 2));
    std::vector<std::int64_t> packs(offers.size(), 0);
    for (const Purchase::Line& line : purchase->lines) packs[line.offer] = line.packs;
    CHECK(packs[4] == 0); // nobody asked for 26 mm
    CHECK_FALSE(findSubstitutes(withAll(request, offers, packs)).proposals.empty());
}

TEST_CASE("what nobody sells cannot be made possible, and what is possible needs nothing") {
    const SubstituteRequest request = impossibleRequest();
    CHECK_FALSE(cheapestPurchase(request, {offer(20_mm, 0.15_mm, 10, 900)}).has_value());
    SubstituteRequest possible = request;
    possible.stock.push_back(bin(20_mm, 0.15_mm, 4));
    possible.stock.push_back(bin(14_mm, 0.20_mm, 4));
    const auto nothing = cheapestPurchase(possible, {});
    REQUIRE(nothing.has_value());
    CHECK(nothing->lines.empty());
    CHECK(nothing->cost == 0);
}

TEST_CASE("the cheapest purchase is what trying every purchase finds, on random small drawers") {
    std::mt19937 random(20261125);
    const auto pick = [&](int low, int high) {
        return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
    };
    int impossible = 0;
    int lifted = 0;
    for (int round = 0; round < test::rounds(16); ++round) {
        INFO("round " << round);
        const auto thickness = [&] { return Length::fromMicrometres(50 * pick(2, 5)); };
        SubstituteRequest request;
        // A crossover, whose gap must be met by a sum of thicknesses, and a taper.
        request.target =
            StackSpec({10_mm, 13_mm, 20_mm, 6_mm, {}, 0_mm}, {{2, 24_mm, 0.15_mm, {}, {}},
                                                              {1, 14_mm, thickness(), {}, {}},
                                                              {1, 22_mm, 0.15_mm, {}, {}},
                                                              {pick(1, 2), 18_mm, 0.15_mm, {}, {}}});
        request.rules.crossover_od_tolerance = Length();
        request.stock = {bin(24_mm, 0.15_mm, 8), bin(22_mm, 0.15_mm, 4), bin(14_mm, 0.10_mm, pick(0, 1)),
                         bin(18_mm, 0.20_mm, pick(0, 2))};
        std::vector<PackOffer> offers;
        for (int i = 0; i < 4; ++i) {
            offers.push_back(
                offer(pick(0, 1) == 0 ? 14_mm : 18_mm, thickness(), pick(1, 3), 100 * pick(1, 9) + i));
        }
        if (findSubstitutes(request).status != SubstituteStatus::nothing_possible) continue;
        ++impossible;
        const std::int64_t tried = cheapestByTrying(request, offers, 4);
        const auto purchase = cheapestPurchase(request, offers);
        CHECK(purchase.has_value() == (tried != std::numeric_limits<std::int64_t>::max()));
        if (!purchase) continue;
        ++lifted;
        CHECK(purchase->proved);
        CHECK(purchase->cost == tried);
    }
    CHECK(impossible >= test::rounds(7));
    CHECK(lifted >= test::rounds(4));
}
