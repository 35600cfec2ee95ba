// SPDX-License-Identifier: GPL-3.0-or-later
// Ways to build a wanted stack against the door that draws single curves, and against trying every stack.
#include "planner/kit/stack_ways.h"

#include "planner/mechanics/stack_lift.h"
#include "planner/stack/stack_text.h"
#include "tests/planner/invented_recipes.h"
#include "tests/planner/usual_valve.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

using namespace shimledger;
using namespace shimledger::planner;
using shimledger::planner::test::inUsualValve;

namespace {

/// Of a stack from a wanted one, lift by lift.
double deviationOf(const StackSpec& wanted, const StackSpec& stack) {
    const LiftCurve a = StackLift(wanted).overLift(0.3, Regime::large, 30).curve;
    const LiftCurve b = StackLift(stack).overLift(0.3, Regime::large, 30).curve;
    double worst = 0;
    for (int i = 1; i <= 60; ++i) {
        const double lift = std::min({0.3 * i / 60, a.greatestLift(), b.greatestLift()});
        worst = std::max(worst, std::abs(b.pressureAt(lift) / a.pressureAt(lift) - 1));
    }
    return worst;
}

std::vector<DiscSize> sizesOf(std::initializer_list<double> ods, std::initializer_list<double> thicknesses) {
    std::vector<DiscSize> sizes;
    for (const double od : ods) {
        for (const double thickness : thicknesses)
            sizes.push_back({Length::fromMillimetres(od), Length::fromMillimetres(6),
                             Length::fromMillimetres(thickness)});
    }
    return sizes;
}

} // namespace

TEST_CASE("every way that is handed out is as near as it says by the curves of single stacks") {
    const KitRequest shop = inventedShop(6, 21);
    std::vector<double> prices;
    for (const KitStock& stock : shop.stock)
        prices.push_back(static_cast<double>(stock.pack_price) / static_cast<double>(stock.pack_size));
    int ways = 0, moved = 0;
    for (const WantedStack& one : shop.wanted) {
        StackWays maker(one.stack, shop.sizes, shop.rules);
        double before = 0;
        for (const StackWay& way : maker.cheapest(prices, 5)) {
            const StackSpec built(one.stack.valve(), way.rows);
            CAPTURE(one.name, stackText(one.stack.rows(), "; "), stackText(way.rows, "; "));
            const double deviation = deviationOf(one.stack, built);
            CHECK(deviation <= shop.rules.within + 0.004); // this one's grid is another
            CHECK(deviation == Approx(way.deviation).margin(0.006));
            CHECK(std::abs((built.height() - one.stack.height()).micrometres()) <= 300);
            double cost = 0;
            for (const auto& [size, discs] : way.discs)
                cost += discs * prices[static_cast<std::size_t>(size)];
            CHECK(cost >= before - 1e-9); // the cheapest first
            before = cost;
            ++ways;
            for (const DiscRow& row : way.rows) {
                const auto& rows = one.stack.rows();
                moved += std::none_of(rows.begin(), rows.end(),
                                      [&](const DiscRow& own) { return own.od == row.od; });
            }
        }
    }
    CHECK(ways > 15);
    CAPTURE(moved);
}

TEST_CASE("the cheapest way costs at most a third more than what trying every stack finds") {
    const StackSpec wanted = inUsualValve("4 x 24 x 0.15; 2 x 18 x 0.15; 1 x 12 x 0.20");
    const std::vector<DiscSize> sizes = sizesOf({24, 18, 12}, {0.10, 0.15, 0.20});
    WayRules rules;
    rules.od_step = Length();
    StackWays maker(wanted, sizes, rules);
    for (const unsigned seed : {1U, 2U}) {
        std::mt19937 random(seed);
        std::vector<double> prices;
        for (std::size_t i = 0; i < sizes.size(); ++i) prices.push_back(10 + random() % 60);
        const auto ways = maker.cheapest(prices, 1);
        REQUIRE(ways.size() == 1);
        double cost = 0;
        for (const auto& [size, discs] : ways.front().discs)
            cost += discs * prices[static_cast<std::size_t>(size)];
        // Every multiset of each OD, dearer ones left aside.
        double least = std::numeric_limits<double>::infinity();
        std::vector<DiscRow> rows;
        const auto fill = [&](auto&& self, std::size_t size, double sum) -> void {
            if (sum >= std::min(least, cost / 1.34 - 1e-9)) return;
            if (size == sizes.size()) {
                Length height;
                bool all[3] = {false, false, false};
                for (const DiscRow& row : rows) {
                    height += row.count * row.thickness;
                    all[row.od == sizes[0].od ? 0 : row.od == sizes[3].od ? 1 : 2] = true;
                }
                if (!all[0] || !all[1] || !all[2]) return;
                if (std::abs((height - wanted.height()).micrometres()) > 300) return;
                if (deviationOf(wanted, StackSpec(wanted.valve(), rows)) <= rules.within - 0.003) least = sum;
                return;
            }
            self(self, size + 1, sum);
            for (int count = 1; count <= 7; ++count) {
                rows.push_back({count, sizes[size].od, sizes[size].thickness, {}, {}});
                self(self, size + 1, sum + count * prices[size]);
                rows.pop_back();
            }
        };
        fill(fill, 0, 0);
        CAPTURE(seed, cost, stackText(ways.front().rows, "; "));
        CHECK(least == std::numeric_limits<double>::infinity());
    }
}

TEST_CASE("several ODs move together in a chain") {
    const StackSpec wanted =
        inUsualValve("5 x 24 x 0.15; 1 x 21 x 0.10; 1 x 19 x 0.10; 1 x 17 x 0.10; 1 x 12 x 0.20");
    // Nothing in 21, 19 or 17: only all three together can give way.
    const std::vector<DiscSize> sizes = sizesOf({24, 20, 18, 16, 12}, {0.10, 0.15, 0.20});
    StackWays maker(wanted, sizes, {});
    const std::vector<double> prices(sizes.size(), 30);
    const auto ways = maker.cheapest(prices, 1);
    REQUIRE(ways.size() == 1);
    CHECK(deviationOf(wanted, StackSpec(wanted.valve(), ways.front().rows)) < 0.054);
    WayRules kept;
    kept.od_step = Length();
    StackWays strict(wanted, sizes, kept);
    CHECK(strict.cheapest(prices, 1).empty());
    CHECK_THAT(strict.why(), Catch::Matchers::Contains("21"));
}

TEST_CASE("sizes that are not to be had are in no way") {
    const StackSpec wanted = inUsualValve("4 x 24 x 0.15; 2 x 18 x 0.15; 1 x 12 x 0.20");
    const std::vector<DiscSize> sizes = sizesOf({24, 18, 12}, {0.10, 0.15, 0.20});
    StackWays maker(wanted, sizes, {});
    std::vector<double> prices(sizes.size(), 30);
    prices[1] = -1; // 24 x 0.15
    for (const StackWay& way : maker.cheapest(prices, 6)) {
        for (const auto& [size, discs] : way.discs) CHECK(size != 1);
    }
    std::fill(prices.begin(), prices.begin() + 3, -1.0);
    CHECK(maker.cheapest(prices, 6).empty());
}
