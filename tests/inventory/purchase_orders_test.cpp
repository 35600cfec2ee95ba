// SPDX-License-Identifier: GPL-3.0-or-later
#include "support.h"

#include "inventory/purchase_orders.h"
#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

PurchaseOrder twoLines() {
    return {"PO-1", "Invented Discs", test_time,
            false,  "by telephone",   {{0, "S24-10", 2, 10, 1250}, {0, "SEAL", 1, 2, 900}}};
}

} // namespace

TEST_CASE("what is ordered is expected until it comes, in parts too") {
    SmallShop small;
    PurchaseOrders orders(small.shop);
    const PurchaseOrder placed = orders.place(twoLines());
    CHECK(orders.onOrder() == std::map<std::string, std::int64_t>{{"S24-10", 20}, {"SEAL", 2}});
    MovementLine delivery = movement(MovementKind::receipt, "S24-10", "A1", 15);
    delivery.order_line = placed.lines[0].number;
    const PostedBatch came = small.ledger.post({delivery});
    CHECK(orders.onOrder().at("S24-10") == 5);
    CHECK(orders.find("PO-1")->lines[0].received == 15);
    CHECK_THAT(refusalOf([&] { small.ledger.post({delivery}); }),
               Contains("still expects 5") && Contains("'PO-1'"));
    small.ledger.reverse(came.movements[0], "another customer's parcel");
    CHECK(orders.onOrder().at("S24-10") == 20);
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE("a closed order expects nothing and takes no receipt") {
    SmallShop small;
    PurchaseOrders orders(small.shop);
    const PurchaseOrder placed = orders.place(twoLines());
    orders.close("PO-1");
    CHECK(orders.onOrder().empty());
    CHECK(orders.list().at(0).closed);
    MovementLine delivery = movement(MovementKind::receipt, "S24-10", "A1", 1);
    delivery.order_line = placed.lines[0].number;
    CHECK_THAT(refusalOf([&] { small.ledger.post({delivery}); }), Contains("is closed"));
    CHECK_THAT(refusalOf([&] { orders.close("PO-1"); }), Contains("closed already"));
    CHECK_THAT(refusalOf([&] { orders.close("PO-2"); }), Contains("no order 'PO-2'"));
}

TEST_CASE("an order that cannot be is refused whole") {
    SmallShop small;
    PurchaseOrders orders(small.shop);
    PurchaseOrder order = twoLines();
    order.lines[1].part = "NOPE";
    CHECK_THAT(refusalOf([&] { orders.place(order); }), Contains("no part 'NOPE'"));
    order = twoLines();
    order.lines[1].packs = 0;
    CHECK_THAT(refusalOf([&] { orders.place(order); }), Contains("0 packs"));
    order.lines.clear();
    CHECK_THAT(refusalOf([&] { orders.place(order); }), Contains("has no lines"));
    order = twoLines();
    order.supplier = "Nobody";
    CHECK_THAT(refusalOf([&] { orders.place(order); }), Contains("no supplier 'Nobody'"));
    CHECK(orders.list().empty());
    orders.place(twoLines());
    CHECK_THAT(refusalOf([&] { orders.place(twoLines()); }), Contains("is there already"));
}

TEST_CASE("a receipt answers an order line of its own part only") {
    SmallShop small;
    const PurchaseOrder placed = PurchaseOrders(small.shop).place(twoLines());
    MovementLine delivery = movement(MovementKind::receipt, "S24-15", "A1", 1);
    delivery.order_line = placed.lines[0].number;
    CHECK_THAT(refusalOf([&] { small.ledger.post({delivery}); }), Contains("for another part"));
}
