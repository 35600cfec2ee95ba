// SPDX-License-Identifier: GPL-3.0-or-later
// What is retired, wherever lists, searches and plans come by it; and changes of data told with the
// movements.
#include "tests/services/small_shop.h"

#include "app/services/bin_labels.h"
#include "app/services/count_sheet.h"
#include "app/services/history_text.h"
#include "app/services/part_prices.h"
#include "app/services/parts_finder.h"
#include "app/services/plan_job.h"
#include "app/services/receive_order.h"
#include "app/services/reorder.h"
#include "app/services/reserve_plan.h"
#include "app/services/scan.h"
#include "app/services/sheet_import/sheet_import.h"
#include "app/services/stock_flow.h"
#include "app/services/stock_level.h"
#include "inventory/stock_verify.h"
#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

#include <functional>
#include <set>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;

namespace {

std::string refusalOf(const std::function<void()>& action) {
    try {
        action();
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

std::vector<std::string> sentencesOf(const std::vector<HistoryLine>& lines) {
    std::vector<std::string> sentences;
    for (const HistoryLine& line : lines) sentences.push_back(line.sentence);
    return sentences;
}

} // namespace

TEST_CASE("the history of a part tells changes of its data between the movements, by their time",
          "[server]") {
    SmallShop small;
    const std::string face = shimCode("24", "0.10");
    const auto later = inventory::UtcTime::parse("2026-03-10T08:00:00Z");
    inventory::ShopFile next_day = inventory::ShopFile::open(small.shop.path(), inventory::fixedClock(later));
    inventory::PartCatalogue parts(next_day);
    inventory::Part part = parts.get(face);
    part.reorder_point = 12;
    part.note = "from the new batch";
    parts.update(part);
    inventory::ShopFile day_after = inventory::ShopFile::open(
        small.shop.path(), inventory::fixedClock(inventory::UtcTime::parse("2026-03-11T08:00:00Z")));
    issuePieces(day_after, {face, "A1", 1});
    inventory::PartCatalogue(day_after).retire(face);
    const auto lines = partHistory(small.shop, face);
    CHECK(sentencesOf(lines) ==
          std::vector<std::string>{
              "3 of S24-0.10 came into A1.", "The reorder point of part S24-0.10 became 12; before it was 6.",
              "The note of part S24-0.10 became 'from the new batch'; there was none before.",
              "1 of S24-0.10 was pulled from A1.", "Part S24-0.10 was retired."});
    CHECK(lines[1].change);
    CHECK(lines[1].number == 0);
    CHECK(lines[1].on_hand_after == 3);
    CHECK_FALSE(lines[3].change);
    CHECK(lines[4].on_hand_after == 2);
}

TEST_CASE("changes of every kind of data are told in sentences") {
    SmallShop small;
    inventory::BinList bins(small.shop);
    bins.update({"A1", "C", 10, "low"});
    bins.retire("A1");
    bins.bringBack("A1");
    CHECK(sentencesOf(binHistory(small.shop, "A1")).back() == "Bin A1 was brought back.");
    const auto of_bin = sentencesOf(binHistory(small.shop, "A1"));
    CHECK(std::find(of_bin.begin(), of_bin.end(), "The cabinet of bin A1 became 'C'; before it was 'A'.") !=
          of_bin.end());

    inventory::SupplierList suppliers(small.shop);
    inventory::SupplierPart offer = suppliers.offers().front();
    offer.pack_price = 999;
    offer.breaks = {{4, 900}};
    suppliers.updateOffer(offer);
    suppliers.retireOffer(offer.supplier, offer.part, offer.pack_size);
    inventory::Supplier supplier = suppliers.get(offer.supplier);
    supplier.lead_time_days = 30;
    supplier.note = "x";
    suppliers.update(supplier);
    supplier.note.clear();
    suppliers.update(supplier);
    const auto of_supplier = sentencesOf(supplierHistory(small.shop, offer.supplier));
    REQUIRE(of_supplier.size() == 6);
    CHECK_THAT(of_supplier[0],
               Contains("The price of a pack of ") && Contains(" became 9.99; before it was "));
    CHECK_THAT(of_supplier[1], Contains("from 4 packs on, became 9.00; there was none before."));
    CHECK_THAT(of_supplier[2], Contains("The offer of a pack of ") && Contains(" was retired."));
    CHECK_THAT(of_supplier[3],
               Contains("The lead time of supplier ") && Contains(" became 30; before it was "));
    CHECK_THAT(of_supplier[5], Contains("was taken away; it was 'x'."));

    inventory::ComponentModels models(small.shop);
    inventory::ComponentModel model = models.get("FORK");
    model.consumables = {{"SEAL", 1, ""}};
    model.valves = {{"mid", mm("10"), mm("13"), mm("20"), mm("6"), {}, mm("0.1")}};
    models.update(model);
    model.consumables[0].quantity_per_leg = 2;
    model.valves.clear();
    models.update(model);
    model.consumables.clear();
    models.update(model);
    CHECK(
        sentencesOf(modelHistory(small.shop, "FORK")) ==
        std::vector<std::string>{
            "SEAL became a wear part of model FORK: 1 per leg.",
            "The valve 'mid' of model FORK became clamp 10.0, ports 13.0 to 20.0, bore 6.0, preload 0.10; "
            "there was none before.",
            "Of the wear part SEAL, model FORK takes 2 per leg; before it was 1 per leg.",
            "The valve 'mid' of model FORK was taken away; it was clamp 10.0, ports 13.0 to 20.0, bore 6.0, "
            "preload 0.10.",
            "SEAL is no wear part of model FORK any more; it was 2 per leg."});
    CHECK(sentencesOf(partHistory(small.shop, "SEAL")).size() == 4);

    inventory::ReorderClasses classes(small.shop);
    classes.set({"A", 950, 7, 200, 20, 12, 12});
    classes.set({"A", 980, 7, 250, 20, 12, 12});
    CHECK(sentencesOf(classHistory(small.shop, "A")) ==
          std::vector<std::string>{"The service level of class A became 980; before it was 950.",
                                   "The cost of an order line of class A became 2.50; before it was 2.00."});
}

TEST_CASE("a retired part is not found by its size") {
    SmallShop small;
    const std::string thick = shimCode("24", "0.12");
    CHECK(findParts(small.shop, "24 x 6 x 0.12").matches.front().part == thick);
    inventory::PartCatalogue(small.shop).retire(thick);
    for (const PartMatch& match : findParts(small.shop, "24 x 6 x 0.12").matches) CHECK(match.part != thick);
}

TEST_CASE("nothing is planned with a retired part, but a job keeps what it holds of it") {
    SmallShop small;
    const std::string thick = shimCode("24", "0.12");
    const auto stockOf = [&](const char* job) {
        std::int64_t pieces = 0;
        for (const auto& item : checkJob(small.shop, job).request.stock) {
            if (item.part == thick) pieces += item.available;
        }
        return pieces;
    };
    CHECK(stockOf("J1") == 20);
    small.ledger.reserve("J1", {{thick, "A2", inventory::Condition::fresh, 4, ""}});
    inventory::PartCatalogue(small.shop).retire(thick);
    CHECK(stockOf("J1") == 4);
    CHECK(stockOf("J2") == 0);
    small.ledger.pullAll("J1");
    CHECK(inventory::verifyStock(small.shop).good());
}

TEST_CASE("what lies in a retired bin is planned with, so that it empties") {
    SmallShop small;
    const auto before = checkJob(small.shop, "J1").request.stock.size();
    inventory::BinList(small.shop).retire("A2");
    CHECK(checkJob(small.shop, "J1").request.stock.size() == before);
}

TEST_CASE("a retired part is not ordered, and who waits for it is told") {
    SmallShop small;
    const std::string face = shimCode("24", "0.10");
    const auto ordered = [&](const ReorderPlan& plan) {
        for (const SupplierOrder& order : plan.orders) {
            for (const ReorderLine& line : order.lines) {
                if (line.part == face) return true;
            }
        }
        return false;
    };
    CHECK(ordered(reorderPlan(small.shop)));
    inventory::PartCatalogue(small.shop).retire("SEAL");
    inventory::JobBook(small.shop).setConsumables("J1", {{"SEAL", 9, "worn"}});
    const ReorderPlan plan = reorderPlan(small.shop);
    CHECK(ordered(plan));
    const bool told = std::any_of(plan.notes.begin(), plan.notes.end(), [](const std::string& note) {
        return note.find("SEAL are wanted by J1, J2, but the part is retired") != std::string::npos;
    });
    CHECK(told);
    inventory::PartCatalogue(small.shop).retire(face);
    CHECK_FALSE(ordered(reorderPlan(small.shop)));
    const StockLevel level = stockLevels(small.shop).at(face);
    CHECK_FALSE(level.reorder_point);
    CHECK(piecePrices(small.shop).count(face) == 1); // what is there is still worth something
}

TEST_CASE("nothing is ordered by an offer or from a supplier that is retired") {
    SmallShop small;
    inventory::SupplierList suppliers(small.shop);
    const auto names = [&] {
        std::set<std::string> found;
        for (const SupplierOrder& order : reorderPlan(small.shop).orders) found.insert(order.supplier.name);
        return found;
    };
    REQUIRE_FALSE(names().empty());
    const std::string first = *names().begin();
    suppliers.retire(first);
    CHECK(names().count(first) == 0);
    for (const auto& supplier : suppliers.list()) suppliers.retire(supplier.name);
    CHECK(names().empty());
    CHECK_NOTHROW(piecePrices(small.shop));
}

TEST_CASE("an order that is on its way from a retired supplier still comes") {
    SmallShop small;
    const std::string face = shimCode("24", "0.10");
    const auto supplier = inventory::SupplierList(small.shop).list().front().name;
    small.order(supplier, {0, face, 1, 10, 810, 0});
    inventory::SupplierList(small.shop).retire(supplier);
    const auto lines = expectedLines(small.shop, "PO-1");
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].bin == "A1");
    CHECK_NOTHROW(reorderPlan(small.shop));
    CHECK(receiveOrder(small.shop, "PO-1", {{lines[0].order_line, 10, "A1"}}, false).closed);
}

TEST_CASE("a delivery is not led to a retired bin") {
    SmallShop small;
    const std::string face = shimCode("24", "0.10");
    small.order(inventory::SupplierList(small.shop).list().front().name, {0, face, 1, 10, 810, 0});
    inventory::BinList(small.shop).retire("A1");
    CHECK(expectedLines(small.shop, "PO-1").at(0).bin.empty());
}

TEST_CASE("labels are for bins in use, count sheets for all that hold something") {
    SmallShop small;
    inventory::BinList(small.shop).retire("A2");
    for (const BinLabel& label : binLabels(small.shop, {}, "")) CHECK(label.bin != "A2");
    CHECK_THAT(refusalOf([&] { static_cast<void>(binLabels(small.shop, {"A2"}, "")); }),
               Contains("bin 'A2' is retired"));
    bool counted = false;
    for (const CountLine& line : countSheet(small.shop, "").lines) counted = counted || line.bin == "A2";
    CHECK(counted);
}

TEST_CASE("a scanned retired bin is known, and a mistyped one is told to be retired") {
    SmallShop small;
    inventory::BinList bins(small.shop);
    bins.add({"DRAWER-7", "D", 99, ""});
    bins.retire("DRAWER-7");
    CHECK(binOfScan(small.shop, "drawer-7").code == "DRAWER-7");
    CHECK_THAT(refusalOf([&] { static_cast<void>(binOfScan(small.shop, "DRAWER-8")); }),
               Contains("did you mean 'DRAWER-7', which is retired?"));
    bins.add({"Drawer-7", "D", 100, ""}); // of two that differ in capitals the one in use is meant
    CHECK(binOfScan(small.shop, "drawer-7").code == "Drawer-7");
}

TEST_CASE("a person's sheet does not count into a retired bin nor into a retired part") {
    SmallShop small;
    inventory::PartCatalogue(small.shop).add([] {
        inventory::Part part;
        part.code = "SH-20.0-6-0.15";
        part.kind = inventory::PartKind::shim;
        part.od = mm("20");
        part.id = mm("6");
        part.thickness = mm("0.15");
        return part;
    }());
    inventory::PartCatalogue(small.shop).retire("SH-20.0-6-0.15");
    inventory::BinList(small.shop).retire("A2");
    const auto import = [&](const std::string& line) {
        std::ofstream(small.folder / "sheet.csv") << "OD,ID,thickness,bin,quantity\n" << line << "\n";
        const SheetImport result = importSheets(small.shop, small.folder / "sheet.csv", {}, true);
        std::string text;
        for (const auto& problem : result.problems) text += problem.text() + "\n";
        return text;
    };
    CHECK_THAT(import("20,6,0.15,A1,5"), Contains("'SH-20.0-6-0.15'") && Contains("retired: bring it back"));
    CHECK_THAT(import("18,6,0.15,A2,5"), Contains("'A2'") && Contains("retired"));
    CHECK(import("18,6,0.15,B1,5").empty());
}
