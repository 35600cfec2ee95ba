// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/reorder/economic_order.h"
#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

using namespace shimledger::planner;

// Figures: rows E058 to E080 of the inventory reference; each example names its source as given there.
TEST_CASE("all-units discounts of the books come out") {
    // Heizer & Render, Wohl's Discount Stores (data read, answers from memory): E058-E063.
    const YearlyNeed wohl{5000, 49, 0.2};
    CHECK(economicQuantity(wohl, 5.00) == Approx(700));
    CHECK(economicQuantity(wohl, 4.80) == Approx(714.4345083));
    CHECK(economicQuantity(wohl, 4.75) == Approx(718.1848465));
    CHECK(yearlyCost(wohl, 4.75, 2000) == Approx(24822.5));
    const auto best = cheapestOrder(wohl, {{0, 5.00}, {1000, 4.80}, {2000, 4.75}});
    CHECK(best.quantity == Approx(1000));
    CHECK(best.yearly_cost == Approx(24725));

    // Problem from Stevenson, worked answer page (read): E064-E068.
    const YearlyNeed stevenson{800, 60, 0.30};
    CHECK(economicQuantity(stevenson, 51.50) == Approx(78.82634225));
    CHECK(yearlyCost(stevenson, 51.50, 79) == Approx(42417.86994));
    CHECK(yearlyCost(stevenson, 49.50, 100) == Approx(40822.5));
    CHECK(yearlyCost(stevenson, 47, 500) == Approx(41221));
    CHECK(cheapestOrder(stevenson, {{0, 53}, {50, 51.50}, {100, 49.50}, {200, 48}, {500, 47}}).yearly_cost ==
          Approx(40080));

    // Nahmias, trash bags (memory): E069-E074.
    const YearlyNeed bags{600, 8, 0.2};
    CHECK(economicQuantity(bags, 0.29) == Approx(406.8381022));
    CHECK(yearlyCost(bags, 0.30, 400) == Approx(204));
    CHECK(yearlyCost(bags, 0.28, 1000) == Approx(200.8));
    CHECK(cheapestOrder(bags, {{0, 0.30}, {500, 0.29}, {1000, 0.28}}).yearly_cost == Approx(198.1));

    // Krajewski (data read, answers from memory): E075-E080.
    const YearlyNeed krajewski{936, 45, 0.25};
    CHECK(economicQuantity(krajewski, 60) == Approx(74.93997598));
    CHECK(yearlyCost(krajewski, 60, 75) == Approx(57284.1));
    CHECK(yearlyCost(krajewski, 58.80, 300) == Approx(57382.2));
    CHECK(cheapestOrder(krajewski, {{0, 60}, {300, 58.80}, {500, 57}}).yearly_cost == Approx(56998.74));
}

TEST_CASE("no whole quantity is cheaper than the economic order under its breaks") {
    const YearlyNeed need{800, 60, 0.30};
    const std::vector<PriceBreak> breaks{{0, 53}, {50, 51.50}, {100, 49.50}, {200, 48}, {500, 47}};
    const auto best = cheapestOrder(need, breaks);
    for (int quantity = 1; quantity <= 1000; ++quantity) {
        double price = 0;
        for (const auto& step : breaks) {
            price = quantity >= step.from ? step.price : price;
        }
        CHECK(yearlyCost(need, price, quantity) >= best.yearly_cost - 1e-9);
    }
}

TEST_CASE("missing prices and unordered breaks are named") {
    const YearlyNeed need{800, 60, 0.30};
    CHECK_THROWS_AS(cheapestOrder(need, {}), shimledger::InputError);
    CHECK_THROWS_AS(cheapestOrder(need, {{0, 0}}), shimledger::InputError);
    CHECK_THROWS_AS(cheapestOrder(need, {{0, 5}, {0, 4}}), shimledger::InputError);
    CHECK_THROWS_AS(yearlyCost(need, 5, 0), shimledger::InputError);
    CHECK_THROWS_AS(economicQuantity({0, 60, 0.3}, 5), shimledger::InputError);
}
