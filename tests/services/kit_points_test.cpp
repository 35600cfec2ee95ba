// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/history_text.h"
#include "app/services/kit_points.h"
#include "inventory/csv_export.h"
#include "inventory/csv_import.h"
#include "inventory/master_changes.h"
#include "inventory/stock_verify.h"
#include "tests/services/small_shop.h"

#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

#include <random>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;

namespace {

using Points = std::map<std::string, std::optional<std::int64_t>>;

Points pointsOf(SmallShop& small) {
    Points points;
    for (const inventory::Part& part : inventory::PartCatalogue(small.shop).list())
        points[part.code] = part.reorder_point;
    return points;
}

void setByHand(SmallShop& small, const std::string& code, std::optional<std::int64_t> point) {
    inventory::PartCatalogue parts(small.shop);
    inventory::Part part = parts.get(code);
    part.reorder_point = point;
    parts.update(part);
}

KitResult quickKit(SmallShop& small) {
    KitOptions options;
    options.budget = 4000;
    options.curve = false;
    options.orders = false;
    return kitPlan(small.shop, options);
}

} // namespace

TEST_CASE("reorder points are set from a plan in one step, and taking it back leaves none that differs") {
    SmallShop small;
    setByHand(small, shimCode("24", "0.10"), 3);
    const Points before = pointsOf(small);
    CHECK_FALSE(hasKitPoints(small.shop));
    CHECK_THROWS_WITH(takeKitPointsBack(small.shop), Contains("no reorder points were set"));
    const KitResult kit = quickKit(small);
    const auto wanted = kitPoints(kit);
    REQUIRE(wanted.size() >= 2);
    const KitPointsTold told = setKitPoints(small.shop, wanted);
    CHECK(told.changed.size() == wanted.size());
    CHECK(told.left.empty());
    for (const KitSize& line : kit.lines) CHECK(pointsOf(small).at(line.part) == line.keep - 1);
    for (const KitSize& line : kit.dead) CHECK_FALSE(pointsOf(small).at(line.part));
    // Reordering goes by them: what has fewer than are to be kept is bought, up to that.
    const ReorderPlan plan = reorderPlan(small.shop);
    int looked_at = 0;
    for (const SupplierOrder& order : plan.orders) {
        for (const ReorderLine& line : order.lines) {
            const auto size = std::find_if(kit.lines.begin(), kit.lines.end(),
                                           [&](const KitSize& one) { return one.part == line.part; });
            if (size == kit.lines.end()) continue;
            ++looked_at;
            CHECK(line.reorder_point == size->keep - 1);
            CHECK_THAT(line.demand, Contains("the kit plan"));
        }
    }
    CHECK(looked_at > 0);
    CHECK(inventory::verifyStock(small.shop).good());
    CHECK_THAT(partHistory(small.shop, wanted.front().part).back().sentence, Contains("from the kit plan"));
    CHECK(hasKitPoints(small.shop));
    const KitPointsTold back = takeKitPointsBack(small.shop);
    CHECK(back.changed.size() == wanted.size());
    CHECK(pointsOf(small) == before);
    CHECK_FALSE(hasKitPoints(small.shop));
    CHECK_THROWS_AS(takeKitPointsBack(small.shop), InputError);
    CHECK(inventory::verifyStock(small.shop).good());
    CHECK_THAT(partHistory(small.shop, wanted.front().part).back().sentence, Contains("taken back"));
}

TEST_CASE("what somebody changed since is told and not overwritten, neither on the way there nor back") {
    SmallShop small;
    const auto wanted = kitPoints(quickKit(small));
    REQUIRE(wanted.size() >= 2);
    const std::string first = wanted[0].part, second = wanted[1].part;
    setByHand(small, first, 77);
    const KitPointsTold told = setKitPoints(small.shop, wanted);
    CHECK(told.changed.size() == wanted.size() - 1);
    REQUIRE(told.left.size() == 1);
    CHECK_THAT(told.left.front(), Contains(first) && Contains("77"));
    CHECK(pointsOf(small).at(first) == 77);
    setByHand(small, second, 55);
    const KitPointsTold back = takeKitPointsBack(small.shop);
    CHECK(back.changed.size() == wanted.size() - 2);
    REQUIRE(back.left.size() == 1);
    CHECK_THAT(back.left.front(), Contains(second) && Contains("55"));
    CHECK(pointsOf(small).at(second) == 55);
    CHECK(inventory::verifyStock(small.shop).good());
}

TEST_CASE("steps there and back among other people's changes leave what a list kept beside it says") {
    SmallShop small;
    std::vector<std::string> codes;
    for (const inventory::Part& part :
         inventory::PartCatalogue(small.shop).listKind(inventory::PartKind::shim))
        codes.push_back(part.code);
    REQUIRE(codes.size() >= 3);
    std::mt19937 random(11);
    // The same by hand: a list of points, and a pile of steps with what stood there and what was put there.
    Points now = pointsOf(small);
    std::vector<std::vector<std::tuple<std::string, std::optional<std::int64_t>, std::int64_t>>> pile;
    for (int round = 0; round < 60; ++round) {
        const auto choice = random() % 4;
        if (choice == 0) {
            const std::string& code = codes[random() % codes.size()];
            const std::optional<std::int64_t> point =
                random() % 4 == 0 ? std::nullopt : std::optional<std::int64_t>(random() % 20);
            setByHand(small, code, point);
            now[code] = point;
        } else if (choice == 1 && !pile.empty()) {
            auto expected = pile.back();
            static_cast<void>(takeKitPointsBack(small.shop));
            bool any = false;
            for (const auto& [code, before, after] : expected) {
                if (now[code] != std::optional(after)) continue;
                now[code] = before;
                any = true;
            }
            if (any) pile.pop_back(); // one of which nothing stands any more stays, and says so again
        } else {
            std::vector<KitPoint> points;
            std::vector<std::tuple<std::string, std::optional<std::int64_t>, std::int64_t>> step;
            for (const std::string& code : codes) {
                const auto after = static_cast<std::int64_t>(100 + random() % 20);
                if (random() % 2 == 0 || now[code] == std::optional(after)) continue;
                points.push_back({code, now[code], after});
                step.emplace_back(code, now[code], after);
                now[code] = after;
            }
            static_cast<void>(setKitPoints(small.shop, points));
            if (!step.empty()) pile.push_back(step);
        }
        Points shop = pointsOf(small);
        REQUIRE(shop == now);
    }
    CHECK(inventory::verifyStock(small.shop).good());
    inventory::exportShopFolder(small.shop, small.folder / "out");
    inventory::ShopFile copy = inventory::ShopFile::create(small.folder.shop("copy.db"));
    inventory::importShopFolder(copy, small.folder / "out");
    CHECK(inventory::verifyStock(copy).good());
    CHECK(hasKitPoints(copy) == hasKitPoints(small.shop));
}
