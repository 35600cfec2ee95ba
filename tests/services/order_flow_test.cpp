// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/services/small_shop.h"

#include "app/services/place_order.h"
#include "app/services/receive_order.h"
#include "app/services/reorder_summary.h"
#include "app/services/stock_course.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;

namespace {

const std::string face = shimCode("24", "0.10");
const std::string stand_in = shimCode("24", "0.12");

inventory::MovementLine movement(inventory::MovementKind kind, const std::string& part,
                                 const std::string& bin, std::int64_t quantity) {
    inventory::MovementLine line;
    line.kind = kind;
    line.part = part;
    line.bin = bin;
    line.quantity = quantity;
    return line;
}

inventory::UtcTime daysAgo(int days) {
    return inventory::UtcTime::startOf(small_shop_time.date().plusDays(-days));
}

} // namespace

TEST_CASE("A plan is changed, dropped from and added to, then ordered, and what was ordered comes in parts",
          "[server]") {
    SmallShop small;
    ReorderPlan plan = reorderPlan(small.shop);
    REQUIRE(plan.orders.size() == 1);
    const std::string corner = "Invented Corner Shop";
    setPacks(small.shop, plan, corner, face, 2);
    setPacks(small.shop, plan, "Invented Discs", stand_in, 3, 10);
    REQUIRE(plan.orders.size() == 2);
    CHECK(plan.orders[1].lines.front().reason == "added by hand");
    setPacks(small.shop, plan, "Invented Discs", stand_in, 0);
    CHECK(plan.orders[1].lines.empty());

    const auto placed = placeOrder(small.shop, plan.orders[0]);
    CHECK(placed.code == "PO-2026-001");
    CHECK(nextOrderCode(small.shop) == "PO-2026-002");
    CHECK(inventory::PurchaseOrders(small.shop).onOrder().at(face) == 10);
    const ReorderPlan after = reorderPlan(small.shop);
    CHECK(after.orders.front().lines.front().on_order == 10);

    const std::int64_t line = placed.lines.front().number;
    const auto first = receiveOrder(small.shop, placed.code, {{line, 4, "A1"}});
    CHECK(first.lines_open == 1);
    CHECK(inventory::PurchaseOrders(small.shop).onOrder().at(face) == 6);
    const auto rest = receiveOrder(small.shop, placed.code, {{line, 6, "A1"}});
    CHECK(rest.closed);
    CHECK(inventory::PurchaseOrders(small.shop).onOrder().empty());
}

TEST_CASE("An order of nothing, of what is not offered, or under a code that is taken is refused") {
    SmallShop small;
    ReorderPlan plan = reorderPlan(small.shop);
    CHECK_THROWS_WITH(setPacks(small.shop, plan, "Invented Discs", "SEAL", 1), Contains("does not offer"));
    CHECK_THROWS_WITH(setPacks(small.shop, plan, "Invented Discs", face, 1, 7), Contains("packs of 7"));
    CHECK_THROWS_WITH(setPacks(small.shop, plan, "Invented Discs", face, -1), Contains("0 to 100000"));
    CHECK_THROWS_WITH(setPacks(small.shop, plan, "Nobody", face, 1), Contains("Nobody"));
    CHECK_THROWS_WITH(setPacks(small.shop, plan, "Invented Discs", "NONE", 1), Contains("NONE"));
    SupplierOrder order = plan.orders.front();
    placeOrder(small.shop, order, "PO-A");
    CHECK_THROWS_AS(placeOrder(small.shop, order, "PO-A"), InputError);
    for (ReorderLine& line : order.lines) line.packs = 0;
    CHECK_THROWS_WITH(placeOrder(small.shop, order), Contains("nothing to order"));
    CHECK(inventory::PurchaseOrders(small.shop).list().size() == 1);
}

TEST_CASE("A line bought in packs beyond a price break is ordered at that price") {
    SmallShop small;
    inventory::SupplierList(small.shop).addPriceBreak("Invented Discs", face, 10, {8, 700});
    ReorderPlan plan = reorderPlan(small.shop);
    setPacks(small.shop, plan, "Invented Discs", face, 8, 10);
    const auto& order = plan.orders.back();
    CHECK(order.total() == 5600);
    CHECK(placeOrder(small.shop, order).lines.front().pack_price == 700);
}

TEST_CASE("The course of a part follows the ledger back and looks ahead with and without the plan") {
    SmallShop small;
    small.ledger.post({movement(inventory::MovementKind::issue, face, "A1", 1)});
    const ReorderPlan plan = reorderPlan(small.shop);
    const auto courses = stockCourses(small.shop, plan, {face, stand_in}, {4, 6});
    const StockCourse& course = courses.at(face);
    REQUIRE(course.past.size() == 5);
    CHECK(course.past.front().pieces == 0);
    CHECK(course.past.back() == CoursePoint{small_shop_time.date(), 2});
    CHECK(course.reorder_point == 6);
    REQUIRE(course.with.size() == 7);
    CHECK(course.without.back().pieces == 2); // no demand is known yet
    CHECK(course.with.front().pieces == 2);
    CHECK(course.with.back().pieces == 2 + static_cast<double>(plan.orders.front().lines.front().pieces()));
    CHECK(courses.at(stand_in).with == courses.at(stand_in).without);
}

TEST_CASE("The summary values the drawers and names dead stock, overstock and what stock-outs cost") {
    SmallShop small;
    inventory::StockLedger& ledger = small.ledger;
    small.addPart("OLD", "30", "0.10", 1);
    inventory::SupplierList(small.shop).addOffer({"Invented Discs", "OLD", 10, 1000, "", {}});
    ledger.post({movement(inventory::MovementKind::receipt, "OLD", "A1", 7)}, daysAgo(500));
    small.addPart("GONE", "31", "0.10", 1);
    inventory::SupplierList(small.shop).addOffer({"Invented Discs", "GONE", 10, 500, "", {}});
    ledger.post({movement(inventory::MovementKind::receipt, "GONE", "A1", 2)}, daysAgo(300));
    ledger.post({movement(inventory::MovementKind::issue, "GONE", "A1", 2)}, daysAgo(100));
    ledger.post({movement(inventory::MovementKind::receipt, "GONE", "A1", 2)}, daysAgo(90));
    inventory::MovementLine replaced = movement(inventory::MovementKind::issue, stand_in, "A2", 2);
    replaced.wanted_part = "GONE";
    ledger.post({replaced}, daysAgo(95));
    small.addPart("MUCH", "32", "0.10", 1);
    inventory::SupplierList(small.shop).addOffer({"Invented Discs", "MUCH", 10, 100, "", {}});
    ledger.post({movement(inventory::MovementKind::receipt, "MUCH", "A1", 1000)}, daysAgo(300));
    for (int days = 280; days > 0; days -= 28) {
        ledger.post({movement(inventory::MovementKind::issue, "MUCH", "A1", 1)}, daysAgo(days));
    }

    const ReorderSummary summary = reorderSummary(small.shop);
    REQUIRE(summary.dead.size() == 1);
    CHECK(summary.dead.front().part == "OLD");
    CHECK(summary.dead.front().value == 700);
    REQUIRE(summary.overstock.size() == 1);
    CHECK(summary.overstock.front().part == "MUCH");
    CHECK(summary.overstock.front().beyond > 900);
    REQUIRE(summary.stock_outs.size() == 1);
    CHECK(summary.stock_outs.front().part == "GONE");
    CHECK(summary.stock_outs.front().times == 1);
    CHECK(summary.stock_outs.front().days == 10);
    CHECK(summary.stock_outs.front().stand_ins == 2);
    CHECK(summary.stock_outs.front().cost == 2 * 82 - 2 * 50);
    // 3 x 0.81, 18 x 0.82, 7 x 1.00, 2 x 0.50, 990 x 0.10; seal and two discs have no price.
    CHECK(summary.value_on_hand.at("EUR") == 243 + 18 * 82 + 700 + 100 + 9900);
    CHECK(summary.without_price == 3);
}
