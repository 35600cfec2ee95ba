// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/leg_split.h"
#include "planner/substitute/substitute_search.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <map>
#include <random>
#include <string>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;
using namespace shimledger::length_literals;

namespace {

Length um(int micrometres) {
    return Length::fromMicrometres(micrometres);
}

double cube(const LegLot& lot) {
    return std::pow(lot.reading.millimetres(), 3);
}

/// Up to three sizes of one OD, each from a few lots, so that every size goes round two legs.
std::vector<LegLot> randomLots(std::mt19937& random) {
    std::vector<LegLot> lots;
    for (const int thickness : {100, 150, 200}) {
        std::int64_t pieces = 0;
        const unsigned count = 1 + random() % 4;
        for (unsigned i = 0; i < count; ++i) {
            LegLot lot{24_mm, um(thickness), um(thickness - 4 + static_cast<int>(random() % 9)), "B",
                       "",    false};
            lot.bin += std::to_string(i);
            lot.quantity = 1 + static_cast<std::int64_t>(random() % 3);
            pieces += lot.quantity;
            lots.push_back(lot);
        }
        lots.back().quantity += pieces % 2;
    }
    return lots;
}

/// The least difference of the cube sums over all ways to give each leg half of every size, when whole rounds
/// of a bin go to both legs.
void leastDifference(const std::vector<LegLot>& lots, std::size_t at, std::map<Length, int> balance,
                     double difference, double& least) {
    if (at == lots.size()) {
        const bool even =
            std::all_of(balance.begin(), balance.end(), [](const auto& size) { return size.second == 0; });
        if (even) least = std::min(least, std::abs(difference));
        return;
    }
    const LegLot& lot = lots[at];
    if (lot.quantity % 2 == 0) {
        leastDifference(lots, at + 1, std::move(balance), difference, least);
        return;
    }
    for (const int to : {-1, 1}) {
        auto next = balance;
        next[lot.thickness] += to;
        leastDifference(lots, at + 1, std::move(next), difference + to * cube(lot), least);
    }
}

} // namespace

TEST_CASE("two legs differ least of all ways to deal the lots, whatever the order they come in") {
    std::mt19937 random(5);
    int uneven = 0;
    for (int round = 0; round < 300; ++round) {
        CAPTURE(round);
        std::vector<LegLot> lots = randomLots(random);
        double least = 1e300;
        leastDifference(lots, 0, {}, 0, least);
        std::vector<LegLot> shuffled = lots;
        std::shuffle(shuffled.begin(), shuffled.end(), random);
        dealToLegs(lots, 2);
        dealToLegs(shuffled, 2);
        double difference = 0;
        std::map<Length, std::int64_t> balance;
        for (const LegLot& lot : lots) {
            REQUIRE(lot.per_leg.size() == 2);
            CHECK(lot.per_leg[0] + lot.per_leg[1] == lot.quantity);
            CHECK(std::abs(lot.per_leg[0] - lot.per_leg[1]) <= 1);
            if (lot.per_leg[0] != lot.per_leg[1]) ++uneven;
            balance[lot.thickness] += lot.per_leg[0] - lot.per_leg[1];
            difference += static_cast<double>(lot.per_leg[0] - lot.per_leg[1]) * cube(lot);
            const auto same = std::find_if(shuffled.begin(), shuffled.end(), [&](const LegLot& other) {
                return other.bin == lot.bin && other.thickness == lot.thickness;
            });
            CHECK(same->per_leg == lot.per_leg);
        }
        for (const auto& [size, off] : balance) CHECK(off == 0);
        CHECK(std::abs(difference) == Approx(least).margin(1e-11));
    }
    CHECK(uneven > 200);
}

TEST_CASE("three legs get the same number of every size, and none is far behind") {
    std::vector<LegLot> lots;
    for (int i = 0; i < 6; ++i) {
        lots.push_back({24_mm, um(100), um(97 + i), std::string(1, static_cast<char>('A' + i)), "", false});
        lots.back().quantity = i == 0 ? 4 : 1;
    }
    dealToLegs(lots, 3);
    std::vector<std::int64_t> pieces(3);
    std::vector<double> sums(3);
    for (const LegLot& lot : lots) {
        for (std::size_t leg = 0; leg < 3; ++leg) {
            pieces[leg] += lot.per_leg[leg];
            sums[leg] += static_cast<double>(lot.per_leg[leg]) * cube(lot);
        }
    }
    CHECK(pieces == std::vector<std::int64_t>{3, 3, 3});
    CHECK(*std::max_element(sums.begin(), sums.end()) < 1.02 * *std::min_element(sums.begin(), sums.end()));
}

TEST_CASE("odd lots that were measured are dealt to the legs and what they still differ by is shown") {
    SubstituteRequest request;
    request.target = StackSpec({10_mm, 13_mm, 20_mm, 6_mm, {}, 0_mm},
                               {{2, 24_mm, um(100), {}, {}}, {1, 14_mm, um(200), {}, {}}});
    request.stock = {{"A", "", 24_mm, 6_mm, um(100), um(102), false, 1, 1, 0},
                     {"B", "", 24_mm, 6_mm, um(100), um(98), false, 1, 2, 0},
                     {"C", "", 24_mm, 6_mm, um(100), um(101), false, 1, 3, 0},
                     {"D", "", 24_mm, 6_mm, um(100), um(99), false, 1, 4, 0},
                     {"E", "", 14_mm, 6_mm, um(200), {}, false, 2, 5, 0}};
    const SubstituteResult result = findSubstitutes(request);
    REQUIRE_FALSE(result.proposals.empty());
    const SubstituteProposal& first = result.proposals.front();
    std::map<std::string, std::vector<std::int64_t>> legs;
    for (const Pull& pull : first.pulls) legs[pull.bin] = pull.per_leg;
    CHECK(legs["A"] == legs["B"]); // the thickest goes with the thinnest
    CHECK(legs["C"] == legs["D"]);
    CHECK(legs["A"] != legs["C"]);
    CHECK(first.leg_difference > 0);
    CHECK(first.leg_difference < 0.01);
}
