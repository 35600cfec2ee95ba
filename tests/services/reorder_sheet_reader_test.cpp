// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/services/small_shop.h"

#include "app/services/reorder_sheet_reader.h"
#include "app/services/sheets/reorder_sheet.h"
#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;

namespace {

const std::string face = shimCode("24", "0.10");
const std::string disc = shimCode("24", "0.12");

/// A sheet as it comes back, its cells as texts.
SheetOrder sheetOf(const std::string& supplier, const std::vector<SheetOrderLine>& lines) {
    return {supplier, supplier, {}, lines};
}

std::vector<SheetOrder> read(SmallShop& small, const std::string& csv) {
    const auto file = small.folder / "back.csv";
    std::ofstream(file, std::ios::binary) << csv;
    return readReorderSheet(file);
}

} // namespace

TEST_CASE("The reorder sheet comes back as it was written, every supplier's order with its lines") {
    SmallShop small;
    const ReorderPlan plan = reorderPlan(small.shop);
    REQUIRE_FALSE(plan.orders.empty());
    const auto file = small.folder / "reorder.xlsx";
    writeReorderSheet(plan, {file, false}, PaperSize::a4, reorderReview(small.shop, plan));
    const auto sheets = readReorderSheet(file);
    REQUIRE(sheets.size() == plan.orders.size());
    for (std::size_t i = 0; i < sheets.size(); ++i) {
        CHECK(sheets[i].supplier == plan.orders[i].supplier.name);
        REQUIRE(sheets[i].lines.size() == plan.orders[i].lines.size());
        for (std::size_t line = 0; line < sheets[i].lines.size(); ++line) {
            CHECK(sheets[i].lines[line].part == plan.orders[i].lines[line].part);
            CHECK(sheets[i].lines[line].packs == plan.orders[i].lines[line].packs);
            CHECK(sheets[i].lines[line].pack_size == plan.orders[i].lines[line].pack_size);
        }
    }
    const SheetPlan back = applyReorderSheet(small.shop, plan, sheets);
    CHECK(back.changes.empty());
    CHECK(back.notes.empty());
}

TEST_CASE("Columns in another order, columns of one's own, blank lines and totals do not matter") {
    SmallShop small;
    const auto sheets = read(
        small, "mine;Order to Invented Discs;;\n;;;\nPacks;Pack of;remark;Part;Order number\n3;10;soon;" +
                   face + ";X-1\n;;;;\n;10;;" + disc + ";\n;;;Total EUR;\n;;a note beneath;;\n");
    REQUIRE(sheets.size() == 1);
    CHECK(sheets[0].supplier == "Invented Discs");
    CHECK(sheets[0].number == "X-1");
    REQUIRE(sheets[0].lines.size() == 2);
    CHECK(sheets[0].lines[0].packs == 3);
    CHECK(sheets[0].lines[1].packs == 0); // wiped out: not wanted
}

TEST_CASE("Every bad line of a sheet is named with its sheet and line, and nothing is taken") {
    SmallShop small;
    const std::string head = "Order to Invented Discs,,\nPart,Packs,Pack of\n";
    CHECK_THROWS_WITH(read(small, head + face + ",two,10\n" + disc + ",-1,10\n" + disc + ",1.5,10\n"),
                      Contains("line 3: Packs of " + face + ": 'two'") && Contains("line 4") &&
                          Contains("line 5"));
    CHECK_THROWS_WITH(read(small, head + face + ",1,10\n" + face + ",2,10\n"),
                      Contains("stands there twice"));
    CHECK_THROWS_WITH(read(small, head + face + ",1,\n"), Contains("Pack of"));
    CHECK_THROWS_WITH(read(small, head + ",4,10\n"), Contains("packs without a part"));
    CHECK_THROWS_WITH(read(small, "Part,Packs,Pack of\n" + face + ",1,10\n"),
                      Contains("the title is missing"));
    CHECK_THROWS_WITH(read(small, "bin,part\nA1,x\n"), Contains("this is no reorder sheet"));
}

TEST_CASE("A line taken out of the sheet is not ordered, one written in is, and what changed is told") {
    SmallShop small;
    ReorderPlan plan;
    const auto planned = applyReorderSheet(
        small.shop, plan, {sheetOf("Invented Discs", {{5, face, 2, 10, {}}, {6, disc, 1, 10, {}}})});
    const auto edited =
        applyReorderSheet(small.shop, planned.plan, {sheetOf("Invented Discs", {{5, face, 4, 10, 8.10}})});
    REQUIRE(edited.plan.orders.size() == 1);
    REQUIRE(edited.plan.orders[0].lines.size() == 1);
    CHECK(edited.plan.orders[0].lines[0].packs == 4);
    CHECK(edited.changes ==
          std::vector<std::string>{"Invented Discs: 1 pack of 10 " + disc +
                                       " is in the plan and not in the sheet: not ordered",
                                   "Invented Discs: 4 packs of 10 " + face + ", planned 2"});
    CHECK(edited.notes.empty());
    const auto dearer =
        applyReorderSheet(small.shop, planned.plan,
                          {sheetOf("Invented Discs", {{5, face, 2, 10, 9.99}, {6, disc, 1, 10, {}}})});
    CHECK_THAT(dearer.notes.at(0), Contains("the sheet says 9.99") && Contains("the shop 8.10"));
    CHECK_THROWS_WITH(
        applyReorderSheet(small.shop, plan, {sheetOf("Invented Discs", {{7, "NOPE", 1, 10, {}}})}),
        Contains("sheet 'Invented Discs', line 7"));
    CHECK_THROWS_WITH(applyReorderSheet(small.shop, plan, {sheetOf("Nobody", {{7, face, 1, 10, {}}})}),
                      Contains("line 7"));
    CHECK_THROWS_WITH(applyReorderSheet(small.shop, plan, {sheetOf("Invented Discs", {{7, face, 1, 7, {}}})}),
                      Contains("in packs of 7"));
}

TEST_CASE("The orders of the sheets are placed all or none, and not twice by mistake") {
    SmallShop small;
    const std::vector<SheetOrder> sheets{sheetOf("Invented Discs", {{5, face, 2, 10, {}}}),
                                         sheetOf("Invented Corner Shop", {{5, face, 1, 5, {}}})};
    CHECK_THROWS_AS(placeReorderSheet(small.shop, {sheets[0], sheetOf("Nobody", {{5, face, 1, 5, {}}})}),
                    InputError);
    const inventory::PurchaseOrders orders(small.shop);
    CHECK(orders.list().empty());
    CHECK_THROWS_WITH(placeReorderSheet(small.shop, sheets, "Nobody"), Contains("no order to Nobody"));
    const auto placed = placeReorderSheet(small.shop, sheets);
    REQUIRE(placed.size() == 2);
    CHECK(orders.onOrder().at(face) == 25);
    CHECK_THROWS_WITH(placeReorderSheet(small.shop, sheets), Contains("on order from Invented"));
    CHECK(orders.list().size() == 2);
    CHECK(placeReorderSheet(small.shop, sheets, "Invented Discs", true).size() == 1);
    CHECK_THROWS_WITH(placeReorderSheet(small.shop, {sheetOf("Invented Discs", {{5, face, 0, 10, {}}})}),
                      Contains("nothing to order"));
}
