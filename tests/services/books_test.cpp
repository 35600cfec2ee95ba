// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/services/small_shop.h"
#include "tests/services/zip_member.h"

#include "app/services/job_costs.h"
#include "app/services/job_record.h"
#include "app/services/receive_order.h"
#include "app/services/record_words.h"
#include "app/services/sheet_import/raw_sheet.h"
#include "app/services/sheets/job_record_sheet.h"
#include "app/services/sheets/money_sheets.h"
#include "app/services/stock_flow.h"
#include "app/services/stock_value.h"
#include "app/services/strip_sheet.h"
#include "inventory/job_end.h"
#include "inventory/stock_history.h"
#include "inventory/wear_finding.h"

#include <catch2/catch.hpp>

#include <sstream>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;
using inventory::CalendarDate;
using inventory::Condition;

namespace {

const std::string face = shimCode("24", "0.10");
const std::string disc = shimCode("24", "0.12");

/// Some packs come by an order on that day, at that price for the pack.
void buy(SmallShop& small, const std::string& code, const std::string& part, std::int64_t packs,
         std::int64_t pack_size, inventory::Hundredths price, const std::string& utc) {
    auto then = inventory::ShopFile::open(small.folder.shop("shop.db"),
                                          inventory::fixedClock(inventory::UtcTime::parse(utc)));
    inventory::PurchaseOrder order;
    order.code = code;
    order.supplier = "Invented Discs";
    order.ordered = then.now();
    order.lines.push_back({0, part, packs, pack_size, price, 0});
    const auto placed = inventory::PurchaseOrders(then).place(order);
    receiveOrder(then, code, {{placed.lines[0].number, packs * pack_size, "A2"}}, false);
}

/// The same shop with another day on the wall.
inventory::ShopFile onDay(SmallShop& small, const std::string& utc) {
    return inventory::ShopFile::open(small.folder.shop("shop.db"),
                                     inventory::fixedClock(inventory::UtcTime::parse(utc)));
}

const CostLine* costOf(const JobCosts& costs, const std::string& part) {
    for (const CostLine& line : costs.lines) {
        if (line.part == part) return &line;
    }
    return nullptr;
}

std::string allText(const std::filesystem::path& file) {
    std::string text;
    for (const RawSheet& sheet : readRawSheets(file)) {
        for (const RawRow& row : sheet.rows) {
            for (const RawCell& cell : row.cells) text += cell.text + "\n";
        }
    }
    return text;
}

} // namespace

TEST_CASE("What a job used counts at the last price paid until then, whatever is bought or changed later") {
    SmallShop small;
    buy(small, "PO-A", disc, 1, 10, 900, "2026-03-10T08:00:00Z");
    auto shop = onDay(small, "2026-03-11T09:00:00Z");
    issuePieces(shop, {disc, "A2", 3, Condition::fresh, "J1"});
    issuePieces(shop, {disc, "F1", 1, Condition::used, "J1"});
    issuePieces(shop, {"SEAL", "B1", 2, Condition::fresh, "J1"});
    const JobCosts costs = jobCosts(shop, "J1");
    REQUIRE(costs.lines.size() == 3);
    CHECK(costs.lines[0].amount() == 270); // 3 of 9.00 for ten
    CHECK(costs.lines[0].price.text() == "9.00 EUR for 10, paid to Invented Discs on 2026-03-10");
    CHECK(costs.lines[1].price.source == PriceSource::used);
    CHECK(costs.lines[1].amount() == 0);
    CHECK(costOf(costs, "SEAL")->price.source == PriceSource::unknown);
    CHECK(costs.total == Money{{"EUR", 270}});
    CHECK(costs.notes == std::vector<std::string>{"No price is known of SEAL: counted as 0"});
    CHECK(costs.method.size() == 4);

    buy(small, "PO-B", disc, 1, 10, 5000, "2026-03-12T08:00:00Z");
    auto offer = inventory::SupplierList(shop).getOffer("Invented Discs", disc, 10);
    offer.pack_price = 7777;
    inventory::SupplierList(shop).updateOffer(offer);
    CHECK(jobCosts(shop, "J1").total == costs.total);
}

TEST_CASE("A part that was never ordered counts at the offer as it stood on the day, and that is said") {
    SmallShop small;
    auto shop = onDay(small, "2026-03-11T09:00:00Z");
    issuePieces(shop, {face, "A1", 3, Condition::fresh, "J1"});
    auto later = onDay(small, "2026-04-01T09:00:00Z");
    inventory::SupplierList suppliers(later);
    auto offer = suppliers.getOffer("Invented Discs", face, 10);
    offer.pack_price = 100;
    suppliers.updateOffer(offer);
    const JobCosts costs = jobCosts(later, "J1");
    REQUIRE(costs.lines.size() == 1);
    CHECK(costs.lines[0].price.source == PriceSource::offered);
    CHECK(costs.lines[0].price.pack_price == 810); // and not 1.00, nor 5.67 for five
    CHECK(costs.lines[0].amount() == 243);
    CHECK_THAT(costs.notes.at(0), Contains("price of an offer: " + face));
    CHECK(PriceBook(later).at(face, Condition::fresh, later.now()).pack_price == 100);
}

TEST_CASE("A receipt that was undone is no price paid from then on, and was one before") {
    SmallShop small;
    buy(small, "PO-A", disc, 1, 10, 900, "2026-03-10T08:00:00Z");
    auto shop = onDay(small, "2026-03-12T09:00:00Z");
    std::int64_t receipt = 0;
    inventory::StockHistory(shop).forEach([&](const auto& entry) {
        if (entry.order_line) receipt = entry.number;
    });
    undoMovement(shop, receipt, false, "wrong parcel");
    const PriceBook prices(shop);
    CHECK(prices.at(disc, Condition::fresh, inventory::UtcTime::parse("2026-03-11T00:00:00Z")).source ==
          PriceSource::paid);
    CHECK(prices.at(disc, Condition::fresh, shop.now()).source == PriceSource::offered);
}

TEST_CASE("Returned pieces cost nothing, scrapped ones do, and reopening a job counts none of them twice") {
    SmallShop small;
    buy(small, "PO-A", disc, 1, 10, 905, "2026-03-10T08:00:00Z");
    auto shop = onDay(small, "2026-03-11T09:00:00Z");
    issuePieces(shop, {disc, "A2", 4, Condition::fresh, "J1"});
    returnPieces(shop, {disc, "A2", 1, Condition::fresh, "J1"});
    scrapPieces(shop, {disc, "A2", 1, Condition::fresh, "J1", "", "bent"});
    for (int time = 0; time < 2; ++time) {
        closeJob(shop, "J1", OpenReservations::release);
        inventory::reopenJob(shop, "J1");
    }
    const JobCosts costs = jobCosts(shop, "J1");
    REQUIRE(costs.lines.size() == 2);
    CHECK(costs.lines[0].quantity == 3);
    CHECK(costs.lines[0].amount() == 272); // 2.715, halves up
    CHECK(costs.lines[1].scrapped);
    CHECK(costs.lines[1].amount() == 91);
}

TEST_CASE("An amount is rounded once, halves up, however large") {
    PartPrice price{PriceSource::paid, 1000, 3, "EUR", "S", {}};
    CHECK(price.of(1) == 333);
    CHECK(price.of(2) == 667);
    CHECK(price.of(3) == 1000);
    CHECK(price.of(0) == 0);
    CHECK(price.of(-2) == -667);
    price.pack_price = 1'000'000'000;
    price.pack_size = 999'999'999;
    CHECK(price.of(1'000'000'000) == 1'000'000'001);
}

TEST_CASE("The value of the stock is by the ledger and the prices of that day, by kind and by cabinet") {
    SmallShop small;
    buy(small, "PO-A", disc, 1, 10, 900, "2026-03-10T08:00:00Z");
    auto shop = onDay(small, "2026-03-12T09:00:00Z");
    issuePieces(shop, {disc, "A2", 5, Condition::fresh, ""});
    const StockValue before = stockValue(shop, CalendarDate::parse("2026-03-11"));
    // 22 of the 0.12 at 0.90, 3 of the 0.10 at 0.81 as offered; used ones and what nobody sells as nothing.
    CHECK(before.total == Money{{"EUR", 1980 + 243}});
    CHECK(before.of_offers == Money{{"EUR", 243}});
    CHECK(before.unpriced ==
          std::vector<std::string>{shimCode("10", "0.30"), shimCode("18", "0.15"), "SEAL"});
    REQUIRE(before.by_kind.size() == 2);
    CHECK(before.by_kind[0].name == "oil seal");
    CHECK(before.by_kind[1].amount == before.total);
    REQUIRE(before.by_cabinet.size() == 3);
    CHECK(before.by_cabinet[0].name == "A");
    CHECK(stockValue(shop, CalendarDate::parse("2026-03-12")).total == Money{{"EUR", 1530 + 243}});
    CHECK(stockValue(shop, CalendarDate::parse("2026-03-08")).lots.empty());
    CHECK_THROWS_WITH(stockValue(shop, CalendarDate::parse("2026-03-13")), Contains("not known yet"));
}

TEST_CASE("The value of a day stays the same when bins, prices and counts change later") {
    SmallShop small;
    auto shop = onDay(small, "2026-03-20T09:00:00Z");
    const CalendarDate day = CalendarDate::parse("2026-03-15");
    std::ostringstream before, after;
    writeValueCsv(stockValue(shop, day), before);
    inventory::BinList bins(shop);
    inventory::Bin bin = bins.get("A1");
    bin.cabinet = "MOVED";
    bins.update(bin);
    bin.cabinet = "MOVED AGAIN";
    bins.update(bin);
    auto offer = inventory::SupplierList(shop).getOffer("Invented Discs", face, 10);
    offer.pack_price = 1;
    offer.priced_on = CalendarDate::parse("2026-03-20");
    inventory::SupplierList(shop).updateOffer(offer);
    inventory::SupplierList(shop).retireOffer("Invented Corner Shop", face, 5);
    issuePieces(shop, {face, "A1", 3, Condition::fresh, ""});
    writeValueCsv(stockValue(shop, day), after);
    CHECK(before.str() == after.str());
    CHECK(stockValue(shop, CalendarDate::parse("2026-03-20")).by_cabinet.back().name == "MOVED AGAIN");
}

TEST_CASE(
    "The record of a job says what was found, built and worn, and names no drawer, part code or price") {
    SmallShop small;
    recordStrip(small.shop, "J1", 1,
                {parseStripRow("2 x 24 x 0.101 !1 bent"), parseStripRow("1 x 18 x 0.150")});
    inventory::WearFinding chrome;
    chrome.job = "J1";
    chrome.leg = 1;
    chrome.place = "chrome";
    chrome.state = inventory::WearState::worn;
    chrome.decision = inventory::WearDecision::defer;
    chrome.reason = "scratch below the travel mark";
    inventory::WearBook(small.shop).record(chrome);
    issuePieces(small.shop, {disc, "A2", 4, Condition::fresh, "J1"});
    issuePieces(small.shop, {"SEAL", "B1", 2, Condition::fresh, "J1"});
    const JobRecord record = jobRecord(small.shop, "J1");
    CHECK(record.customer == "Private Person");
    CHECK(record.model == "invented fork");
    REQUIRE(record.found.size() == 1);
    CHECK(record.found[0].rows[0].text == "2 x 24.0 x 0.101 (read)");
    CHECK_THAT(record.found[0].rows[0].note, Contains("1 not used again: bent"));
    REQUIRE(record.parts.size() == 1);
    CHECK(record.parts[0].what == "oil seal 35.0 x 48.0 x 11.0");
    REQUIRE(record.wear.size() == 1);
    CHECK(record.wear[0].decision == "put off");
    CHECK_THAT(record.next_time.at(0), Contains("leg 1: chrome was put off (scratch below"));
    CHECK(record.cautions.size() > 3);
    CHECK(record.state == "pulled");

    const auto file = small.folder / "record.xlsx";
    writeJobRecordSheet(record, {file, false});
    const std::string text = allText(file);
    for (const std::string told :
         {"Private Person", "oil seal 35.0 x 48.0 x 11.0", "What to look at next time", "Cautions",
          "this record is not the last word"})
        CHECK_THAT(text, Contains(told));
    for (const std::string& hidden :
         std::vector<std::string>{"A1", "A2", "B1", "F1", "SEAL\n", face, disc, "Invented Discs", "EUR"}) {
        INFO(hidden);
        CHECK(text.find(hidden) == std::string::npos);
    }
}

TEST_CASE("A customer, a supplier or a part that begins like a formula is text in every sheet that leaves") {
    SmallShop small;
    inventory::JobBook book(small.shop);
    inventory::Job job = book.get("J1");
    job.customer = "=HYPERLINK(\"http://x\")";
    job.component = "+1+1";
    book.update(job);
    inventory::Part part = inventory::PartCatalogue(small.shop).get("SEAL");
    part.code = "=1+1";
    part.description = "@SUM(A1)";
    inventory::PartCatalogue(small.shop).add(part);
    small.receive("=1+1", "B1", 2);
    inventory::SupplierList suppliers(small.shop);
    suppliers.add({"-2+3", 1, "EUR", {}, {}, {}, ""});
    suppliers.addOffer({"-2+3", "=1+1", 1, 100, "=x", {}});
    issuePieces(small.shop, {"=1+1", "B1", 1, Condition::fresh, "J1"});
    writeJobRecordSheet(jobRecord(small.shop, "J1"), {small.folder / "r.xlsx", false});
    writeJobCostsSheet(jobCosts(small.shop, "J1"), {small.folder / "c.xlsx", false});
    writeStockValueSheet(stockValue(small.shop, small.shop.now().date()), {small.folder / "v.xlsx", false});
    CHECK_THAT(allText(small.folder / "r.xlsx"), Contains("For =HYPERLINK"));
    CHECK_THAT(allText(small.folder / "c.xlsx"), Contains("=1+1"));
    const std::vector<std::pair<std::string, int>> sheets{{"r.xlsx", 1}, {"c.xlsx", 1}, {"v.xlsx", 3}};
    for (const auto& [name, count] : sheets) {
        const std::string zip = readBytes(small.folder / name);
        for (int sheet = 1; sheet <= count; ++sheet) {
            const std::string xml = zipMember(zip, "xl/worksheets/sheet" + std::to_string(sheet) + ".xml");
            for (std::size_t at = xml.find("<f>"); at != std::string::npos; at = xml.find("<f>", at + 1))
                CHECK(xml.substr(at, 9) == "<f>SUMIF(");
        }
    }
    std::ostringstream costs;
    writeCostsCsv(jobCosts(small.shop, "J1"), costs);
    CHECK_THAT(costs.str(), Contains(",'=1+1,") && Contains(",'-2+3,"));
}

TEST_CASE("A record over a sheet of another kind is refused, and over an earlier record it is not") {
    SmallShop small;
    const auto file = small.folder / "x.xlsx";
    writeJobCostsSheet(jobCosts(small.shop, "J1"), {file, false});
    CHECK_THROWS_AS(writeJobRecordSheet(jobRecord(small.shop, "J1"), {file, false}), InputError);
    writeJobCostsSheet(jobCosts(small.shop, "J2"), {file, false});
    CHECK_THROWS_WITH(jobRecord(small.shop, "J9"), Contains("no job 'J9'"));
    CHECK_THROWS_WITH(jobCosts(small.shop, "J9"), Contains("no job 'J9'"));
}
