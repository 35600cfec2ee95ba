// SPDX-License-Identifier: GPL-3.0-or-later
#include "support.h"

#include "inventory/csv_export.h"
#include "inventory/csv_import.h"
#include "inventory/inventory_error.h"
#include "inventory/purchase_orders.h"
#include "inventory/reorder_class.h"
#include "inventory/stock_history.h"
#include "inventory/stock_verify.h"
#include "inventory/strip_record.h"
#include "inventory/thickness_reading.h"
#include "inventory/wear_finding.h"

#include <catch2/catch.hpp>

#include <sstream>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

// Something of every table and every kind of movement.
void liveAYear(SmallShop& small) {
    SupplierList(small.shop)
        .addOffer(
            {"Invented Discs", "S24-10", 10, 1250, "ID-1", CalendarDate::parse("2026-01-01"), {{5, 1200}}});
    ReorderClass settings;
    settings.part_class = "A, fast";
    ReorderClasses(small.shop).set(settings);
    ComponentModels(small.shop).addConsumable("FORK", {"SEAL", 1, "per leg"});
    JobBook jobs(small.shop);
    const StackRow face{6, Length::parseMillimetres("24"), Length::parseMillimetres("0.148"), {}};
    StackRow stand_in = face;
    stand_in.replaces = 1;
    jobs.setStack("J1", {StackRole::asFound, 2, {face, face}});
    Job marked = jobs.get("J2");
    marked.component = "tag 7, \"blue\"";
    jobs.update(marked);
    StripRow scored{4, Length::parseMillimetres("23.9"), {}, "S24-10", 1, "scored", "A2"};
    scored.readings = {Length::parseMillimetres("0.099"), Length::parseMillimetres("0.101")};
    StripRow unknown{1, Length::parseMillimetres("18"), {Length::parseMillimetres("0.148")}, "", 0, "", ""};
    StripRecords(small.shop).set({"J2", 1, {}, {scored, unknown}});
    WearFinding lip;
    lip.job = "J2";
    lip.leg = 1;
    lip.part = "SEAL";
    lip.state = WearState::worn;
    lip.decision = WearDecision::defer;
    lip.reason = "weeps, but holds";
    WearBook(small.shop).record(lip);
    WearFinding chrome;
    chrome.job = "J2";
    chrome.place = "slider";
    chrome.note = "one scratch";
    WearBook(small.shop).record(chrome);
    jobs.setStack("J1", {StackRole::target, 0, {face}});
    jobs.setStack("J1", {StackRole::build, 0, {stand_in, stand_in}});
    jobs.setConsumables("J1", {{"SEAL", 2, "worn, \"badly\""}});
    const PurchaseOrder order =
        PurchaseOrders(small.shop)
            .place({"PO-1", "Invented Discs", test_time, false, "", {{0, "S24-10", 2, 10, 1250}}});
    MovementLine delivery = movement(MovementKind::receipt, "S24-10", "A1", 20);
    delivery.supplier = "Invented Discs";
    delivery.order_line = order.lines[0].number;
    small.ledger.post({delivery, movement(MovementKind::receipt, "SEAL", "B1", 4)});
    PurchaseOrders(small.shop).close("PO-1");
    small.ledger.reserve(
        "J1", {{"S24-10", "A1", Condition::fresh, 6, "S24-15"}, {"SEAL", "B1", Condition::fresh, 2}});
    small.ledger.reserve("J2", {{"S24-10", "A1", Condition::fresh, 3}});
    small.ledger.post({movement(MovementKind::release, "S24-10", "A1", 1, "J2")});
    small.ledger.pullAll("J1");
    findInLeg(small.shop, "J1", "0.15", 3);
    MovementLine back = movement(MovementKind::returned, "S24-15", "A2", 3, "J1");
    back.condition = Condition::used;
    small.ledger.post({back});
    MovementLine move = movement(MovementKind::move, "S24-10", "A1", 5);
    move.to_bin = "A2";
    small.ledger.post({move});
    const PostedBatch moved = small.ledger.post({move});
    small.ledger.reverse(moved.movements[1], "not that drawer");
    small.ledger.post({movement(MovementKind::scrap, "S24-10", "A1", 1)},
                      UtcTime::parse("2025-01-01T00:00:00Z"));
    small.ledger.post({movement(MovementKind::count, "S24-10", "A2", 4)});
    addReading(small.shop, {"S24-10", "A1", Condition::fresh, Length::parseMillimetres("0.099"), test_time});
    jobs.close("J1");
    jobs.add(plainJob("J3"));
    jobs.cancel("J3");
}

std::vector<std::string> filesOf(const std::filesystem::path& folder) {
    std::vector<std::string> files;
    for (const auto& entry : std::filesystem::directory_iterator(folder))
        files.push_back(entry.path().filename().string());
    std::sort(files.begin(), files.end());
    return files;
}

} // namespace

TEST_CASE("everything out as CSV and in again makes an equal shop, the ledger line by line", "[server]") {
    SmallShop small;
    liveAYear(small);
    exportShopFolder(small.shop, small.folder / "out");
    ShopFile copy =
        ShopFile::create(small.folder.shop("copy.db"), fixedClock(UtcTime::parse("2030-01-01T00:00:00Z")));
    importShopFolder(copy, small.folder / "out");
    CHECK(verifyStock(copy).good());
    CHECK(StockLedger(copy).reservations() == small.ledger.reservations());
    exportShopFolder(copy, small.folder / "again");
    const auto files = filesOf(small.folder / "out");
    CHECK(files.size() == 22);
    for (const std::string& file : files) {
        INFO(file);
        CHECK(readBytes(small.folder / ("out/" + file)) == readBytes(small.folder / ("again/" + file)));
    }
    std::ostringstream stock;
    std::ostringstream stock_of_copy;
    writeStockCsv(small.shop, stock);
    writeStockCsv(copy, stock_of_copy);
    CHECK(stock.str() == stock_of_copy.str());
}

TEST_CASE("stock goes out in the columns that opening stock comes in by") {
    SmallShop small;
    liveAYear(small);
    exportStockCsv(small.shop, small.folder / "stock.csv");
    CHECK(readBytes(small.folder / "stock.csv") == "kind,od_mm,id_mm,thickness_mm,measured_mm,condition,bin,"
                                                   "quantity,part,reading_spread_mm,available\r\n"
                                                   "oil_seal,48.00,35.00,,,new,B1,2,SEAL,,2\r\n"
                                                   "shim,24.00,6.00,0.10,0.099,new,A1,8,S24-10,,6\r\n"
                                                   "shim,24.00,6.00,0.10,,new,A2,4,S24-10,,4\r\n"
                                                   "shim,24.00,6.00,0.15,,used,A2,3,S24-15,,3\r\n");
    ShopFile other = ShopFile::create(small.folder.shop("other.db"));
    fillSmallShop(other);
    CHECK(importFile(other, small.folder / "stock.csv").movements == 4);
    addReading(small.shop, {"S24-10", "A1", Condition::fresh, Length::parseMillimetres("0.101"), test_time});
    std::ostringstream twice_read;
    writeStockCsv(small.shop, twice_read);
    CHECK_THAT(twice_read.str(), Contains("0.10,0.10,new,A1,8,S24-10,0.0014,6\r\n"));
}

TEST_CASE("an export never writes over what is there") {
    SmallShop small;
    writeBytes(small.folder / "stock.csv", "mine");
    CHECK_THAT(refusalOf([&] { exportStockCsv(small.shop, small.folder / "stock.csv"); }),
               Contains("exists already"));
    CHECK_THAT(refusalOf([&] { exportShopFolder(small.shop, small.folder / ""); }),
               Contains("not an empty folder"));
    CHECK(readBytes(small.folder / "stock.csv") == "mine");
    CHECK_THROWS_AS(exportStockCsv(small.shop, small.folder / "nowhere/stock.csv"), InputError);
    CHECK_THROWS_AS(exportShopFolder(small.shop, small.folder / "nowhere/out"), InputError);
}
