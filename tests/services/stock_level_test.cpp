// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/services/small_shop.h"

#include "app/services/reorder.h"
#include "app/services/stock_level.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <set>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;

namespace {

const std::string face = shimCode("24", "0.10");

} // namespace

TEST_CASE("What the reorder plan buys for stock is what the drawers call low, by the same reorder point") {
    SmallShop small;
    const auto levels = stockLevels(small.shop);
    const ReorderPlan plan = reorderPlan(small.shop);
    std::set<std::string> bought;
    for (const SupplierOrder& order : plan.orders) {
        for (const ReorderLine& line : order.lines) {
            INFO(line.part);
            bought.insert(line.part);
            const StockLevel& level = levels.at(line.part);
            CHECK(level.reorder_point == line.reorder_point);
            CHECK(level.available == line.available());
            CHECK((level.low || level.short_for_jobs > 0));
            CHECK(line.reason.starts_with(level.why));
        }
    }
    REQUIRE(bought.contains(face));
    for (const auto& [part, level] : levels) {
        INFO(part);
        const bool unoffered = std::any_of(plan.unoffered.begin(), plan.unoffered.end(),
                                           [&part = part](const auto& line) { return line.part == part; });
        if (level.low) CHECK((bought.contains(part) || unoffered));
    }
}

TEST_CASE("A part that open jobs want more of than there is names them") {
    SmallShop small;
    const StockLevel level = stockLevels(small.shop).at(face);
    CHECK(level.short_for_jobs == 5);
    CHECK(level.jobs == std::vector<std::string>{"J1", "J2"});
    CHECK(level.low);
    CHECK(level.why == "5 short for J1, J2, available 3, reorder point 6");
}

TEST_CASE("What is on order is not in the drawers yet: the part stays low, and is not ordered twice") {
    SmallShop small;
    small.order("Invented Corner Shop", {0, face, 10, 5, 567, 0});
    const StockLevel level = stockLevels(small.shop).at(face);
    CHECK(level.on_order == 50);
    CHECK(level.low);
    for (const SupplierOrder& planned : reorderPlan(small.shop).orders) {
        for (const ReorderLine& line : planned.lines) CHECK(line.part != face);
    }
}

TEST_CASE("A part without a reorder point is never low, only short") {
    SmallShop small;
    inventory::PartCatalogue catalogue(small.shop);
    inventory::Part part = catalogue.get(face);
    part.reorder_point.reset();
    catalogue.update(part);
    const StockLevel level = stockLevels(small.shop).at(face);
    CHECK_FALSE(level.reorder_point.has_value());
    CHECK_FALSE(level.low);
    CHECK(level.short_for_jobs == 5);
}
