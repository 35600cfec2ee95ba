#include "tests/services/small_shop.h"

#include "app/services/cheapest_offer.h"
#include "app/services/plan_job.h"
#include "app/services/reorder.h"
#include "app/services/reserve_plan.h"
#include "inventory/purchase_orders.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::services;

namespace {

const ReorderLine* lineOf(const ReorderPlan& plan, const std::string& part, std::string* supplier = nullptr) {
    for (const SupplierOrder& order : plan.orders) {
        for (const ReorderLine& line : order.lines) {
            if (line.part != part) continue;
            if (supplier != nullptr) *supplier = order.supplier.name;
            return &line;
        }
    }
    return nullptr;
}

} // namespace

TEST_CASE("A part is bought in packs, with the reason in words") {
    SmallShop small;
    const ReorderPlan plan = reorderPlan(small.shop);
    std::string supplier;
    const ReorderLine* line = lineOf(plan, shimCode("24", "0.10"), &supplier);
    REQUIRE(line != nullptr);
    // 3 available, 8 wanted by two jobs, reorder point 6: 5 are bought, and one pack of 5 costs less than one
    // of 10.
    CHECK(line->wanted == 5);
    CHECK(supplier == "Invented Corner Shop");
    CHECK(line->packs == 1);
    CHECK(line->pieces() == 5);
    CHECK(line->total() == 567);
    CHECK(line->reason == "available 3, reorder point 6, 5 short for J1, J2, pack of 5");
    CHECK(lineOf(plan, shimCode("24", "0.12")) == nullptr); // 20 held, reorder point 4
}

TEST_CASE(
    "Reserved pieces are not available, and a job that has a substitute wants the target's disc no more") {
    SmallShop small;
    inventory::JobBook(small.shop).cancel("J2");
    reservePlan(small.shop, planJob(small.shop, "J1"), 0);
    const ReorderPlan plan = reorderPlan(small.shop);
    const ReorderLine* face = lineOf(plan, shimCode("24", "0.10"));
    REQUIRE(face != nullptr);
    CHECK(face->short_for_jobs == 0);
    CHECK(face->wanted == 6 - face->available());
}

TEST_CASE("What is on order is not ordered again") {
    SmallShop small;
    inventory::PurchaseOrder order;
    order.code = "PO-1";
    order.supplier = "Invented Discs";
    order.ordered = small_shop_time;
    inventory::OrderLine ordered;
    ordered.part = shimCode("24", "0.10");
    ordered.packs = 1;
    ordered.pack_size = 10;
    ordered.pack_price = 810;
    order.lines.push_back(ordered);
    inventory::PurchaseOrders(small.shop).place(order);
    CHECK(lineOf(reorderPlan(small.shop), shimCode("24", "0.10")) == nullptr);
}

TEST_CASE("What nobody sells and minimum orders that are not reached are told, and the rest still comes") {
    SmallShop small;
    inventory::JobBook(small.shop).setConsumables("J1", {{"SEAL", 9, ""}});
    small.addPart(shimCode("24", "0.15"), "24", "0.15", 8);
    inventory::SupplierList(small.shop)
        .addOffer({"Invented Discs", shimCode("24", "0.15"), 10, 900, "D3", {}});
    const ReorderPlan plan = reorderPlan(small.shop);
    REQUIRE(plan.unoffered.size() == 1);
    CHECK(plan.unoffered.front().part == "SEAL");
    CHECK(plan.unoffered.front().wanted == 8); // J1 wants 9, J2 wants 2, 3 are held
    CHECK(plan.unoffered.front().packs == 0);
    REQUIRE(plan.notes.size() == 2);
    CHECK(plan.notes[0] == "The order to Invented Discs comes to 9.00 EUR, below its minimum of 60.00");
    CHECK(plan.notes[1] == "SEAL is wanted, but no supplier offers it");
    CHECK(lineOf(plan, shimCode("24", "0.15")) != nullptr);
}

TEST_CASE("The offer that costs least in all is taken, and currencies are never compared") {
    const std::vector<inventory::Supplier> suppliers = {{"Far", 9, "EUR", {}, {}, {}, ""},
                                                        {"Near", 2, "EUR", {}, {}, {}, ""},
                                                        {"Abroad", 2, "USD", {}, {}, {}, ""}};
    const std::vector<inventory::SupplierPart> offers = {
        {"Far", "P", 10, 810, "", {}}, {"Near", "P", 5, 567, "", {}}, {"Abroad", "P", 10, 1, "", {}}};
    const auto few = cheapestOffer(offers, suppliers, 4);
    REQUIRE(few);
    CHECK(few->offer.supplier == "Near");
    CHECK(few->total == 567);
    CHECK(few->other_currencies);
    const auto many = cheapestOffer(offers, suppliers, 11);
    REQUIRE(many);
    CHECK(many->offer.supplier == "Far");
    CHECK(many->packs == 2);
    CHECK_FALSE(cheapestOffer({}, suppliers, 1));
}
