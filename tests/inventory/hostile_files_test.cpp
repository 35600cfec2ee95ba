// SPDX-License-Identifier: GPL-3.0-or-later
#include "rich_shop.h"

#include "inventory/csv_export.h"
#include "inventory/csv_import.h"
#include "inventory/inventory_error.h"
#include "inventory/stock_history.h"
#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>
#include <sys/stat.h>
#include <sys/wait.h>

#include <cstdio>
#include <functional>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

// The sentence of whatever a person would see; "" if nothing was said.
std::string sentenceOf(const std::function<void()>& action) {
    try {
        action();
    } catch (const std::exception& error) {
        return error.what();
    }
    return "";
}

const std::string hostile = "'); DROP TABLE movements; -- \"=1+1\" \xd7\xa9\xe2\x80\xae\xf0\x9f\x94\xa7";

} // namespace

TEST_CASE(
    "SQL, formulas, right-to-left and emoji text, NUL bytes and a megabyte in every text field are text, "
    "and come back through CSV",
    "[file]") {
    // Codes are short and without control characters: they are all of the first sort.
    const std::string text = GENERATE(as<std::string>{}, hostile, hostile + std::string("\0 after", 7),
                                      hostile + std::string(1'000'000, 'x'));
    const TemporaryFolder folder;
    ShopFile shop = ShopFile::create(folder.shop("shop.db"), fixedClock(test_time));
    Part part = shimPart("P" + hostile, "24", "0.10");
    for (std::string* field :
         {&part.description, &part.material, &part.hardness, &part.coating, &part.size_code, &part.note})
        *field = text;
    part.part_class = hostile;
    PartCatalogue(shop).add(part);
    BinList(shop).add({"B" + hostile, hostile, 1, text});
    SupplierList(shop).add({"S" + hostile, 7, "EUR", {}, {}, {}, text});
    SupplierList(shop).addOffer({"S" + hostile, part.code, 10, 100, text, {}});
    ReorderClass orders;
    orders.part_class = hostile;
    ReorderClasses(shop).set(orders);
    ComponentModel model;
    model.code = "M" + hostile;
    model.description = text;
    model.note = text;
    model.consumables.push_back({part.code, 1, text});
    ComponentModels(shop).add(model);
    Job job = plainJob("J" + hostile);
    job.model = model.code;
    job.customer = text;
    job.component = text;
    job.valve.name = text;
    job.note = text;
    JobBook(shop).add(job);
    JobBook(shop).setConsumables(job.code, {{part.code, 2, text}});
    PurchaseOrder order{"O" + hostile, "S" + hostile, test_time, false, text, {}};
    order.lines.push_back({0, part.code, 1, 10, 100, 0});
    PurchaseOrders(shop).place(order);
    MovementLine receipt = movement(MovementKind::receipt, part.code, "B" + hostile, 5);
    receipt.reason = text;
    StockLedger(shop).post({receipt});
    StockLedger(shop).reserve(job.code, {{part.code, "B" + hostile, Condition::fresh, 3, ""}});
    StripSheet sheet{job.code, 1, test_time, {}};
    sheet.rows.push_back({2, Length::parseMillimetres("24"), {}, part.code, 1, text, "B" + hostile});
    StripRecords(shop).set(sheet);
    WearFinding finding;
    finding.job = job.code;
    finding.place = hostile;
    finding.decision = WearDecision::defer;
    finding.reason = text;
    finding.note = text;
    WearBook(shop).record(finding);
    CHECK(verifyStock(shop).good());

    exportShopFolder(shop, folder / "out");
    ShopFile copy = ShopFile::create(folder.shop("copy.db"), fixedClock(test_time));
    importShopFolder(copy, folder / "out");
    CHECK(verifyStock(copy).good());
    CHECK(JobBook(copy).list() == JobBook(shop).list());
    CHECK(PartCatalogue(copy).list() == PartCatalogue(shop).list());
    CHECK(SupplierList(copy).list() == SupplierList(shop).list());
    CHECK(StockHistory(copy).movement(1)->reason == text);
    CHECK(StripRecords(copy).find(job.code, 1)->rows == sheet.rows);
    CHECK(WearBook(copy).ofJob(job.code).at(0).note == text);
    CHECK(PurchaseOrders(copy).list().at(0).note == text);
}

TEST_CASE("a shop file that was removed or replaced while it is open takes no further entry, with a sentence",
          "[file]") {
    SmallShop small;
    small.receive("S24-10", "A1", 4);
    SECTION("removed") {
        std::filesystem::remove(small.shop.path());
    }
    SECTION("moved away") {
        std::filesystem::rename(small.shop.path(), small.folder / "elsewhere.db");
    }
    SECTION("another file in its place") {
        std::filesystem::rename(small.shop.path(), small.folder / "elsewhere.db");
        const ShopFile other = ShopFile::create(small.folder.shop("new.db"));
        std::filesystem::rename(small.folder / "new.db", small.shop.path());
    }
    // Otherwise the entry would go into a file that nobody can open again.
    CHECK_THROWS_AS(small.receive("S24-10", "A1", 1), ShopFileFault);
    CHECK_THAT(sentenceOf([&] { small.receive("S24-10", "A1", 1); }), Contains("moved or removed"));
}

TEST_CASE("a clock that jumps back changes the times that are written, and nothing else") {
    const TemporaryFolder folder;
    UtcTime now = test_time;
    ShopFile shop = ShopFile::create(folder.shop("shop.db"), [&now] { return now; });
    fillSmallShop(shop);
    StockLedger ledger(shop);
    ledger.post({movement(MovementKind::receipt, "S24-10", "A1", 4)});
    now = UtcTime::parse("2025-01-01T00:00:00Z");
    ledger.reserve("J1", {{"S24-10", "A1", Condition::fresh, 4, ""}});
    now = UtcTime::parse("2024-06-01T00:00:00Z");
    ledger.pullAll("J1");
    CHECK(verifyStock(shop).good());
    CHECK(stockSnapshot(shop).lots.empty());
    // Exported in order of posting, so the import does not pull what was not yet there.
    exportShopFolder(shop, folder / "out");
    ShopFile copy = ShopFile::create(folder.shop("copy.db"), fixedClock(test_time));
    importShopFolder(copy, folder / "out");
    CHECK(verifyStock(copy).movements == 3);
}

TEST_CASE("a folder that may not be written gives a sentence for making, opening and exporting") {
    const TemporaryFolder folder;
    const auto inner = folder / "read only";
    std::filesystem::create_directory(inner);
    {
        ShopFile shop = ShopFile::create(inner / "shop.db", fixedClock(test_time));
        fillSmallShop(shop);
    }
    ::chmod(inner.c_str(), 0555);
    ::chmod((inner / "shop.db").c_str(), 0444);
    ::chmod((folder / "").c_str(), 0755);
    // Permissions do not hold for root, so a child takes another user's place; its exit code is the number
    // of checks that held.
    const pid_t child = ::fork();
    if (child == 0) {
        int held = 0;
        if (::geteuid() == 0 && ::seteuid(65534) != 0) ::_exit(99);
        const std::string made = sentenceOf([&] { static_cast<void>(ShopFile::create(inner / "new.db")); });
        if (made.find("cannot be made") != std::string::npos) ++held;
        const std::string opened = sentenceOf([&] { static_cast<void>(ShopFile::open(inner / "shop.db")); });
        if (opened.find("may not be written by this user") != std::string::npos ||
            opened.find("cannot be opened") != std::string::npos)
            ++held;
        const std::string exported = sentenceOf([&] {
            ShopFile shop = ShopFile::openReadOnly(inner / "shop.db");
            exportShopFolder(shop, inner / "out");
        });
        // SQLite needs its log beside the file even to read: said, not read.
        if (exported.find("may not be written by this user") != std::string::npos ||
            exported.find("cannot be") != std::string::npos)
            ++held;
        if (held != 3) std::fprintf(stderr, "%s\n%s\n%s\n", made.c_str(), opened.c_str(), exported.c_str());
        ::_exit(held);
    }
    int status = 0;
    ::waitpid(child, &status, 0);
    CHECK(WEXITSTATUS(status) == 3);
    ::chmod(inner.c_str(), 0755);
}

TEST_CASE("a customer's name stands in no sentence that a refusal or a fault says") {
    const TemporaryFolder folder;
    const std::string name = "Zyx Private-Person";
    ShopFile shop = ShopFile::create(folder.shop("shop.db"), fixedClock(test_time));
    fillRichShop(shop);
    JobBook jobs(shop);
    for (Job job : jobs.list()) {
        if (job.status == JobStatus::closed || job.status == JobStatus::cancelled) continue;
        job.customer = name;
        job.component = "serial of " + name;
        jobs.update(job);
    }
    StockLedger ledger(shop);
    Job again = jobs.get("J1");
    Job odd = again;
    odd.code = "";
    Job long_note = again;
    long_note.code = "NEW";
    long_note.customer = name + std::string(std::size_t{5} << 20U, 'x');
    writeBytes(
        folder / "jobs.csv",
        "job,customer,model,valve,legs,opened,clamp_od_mm,port_inner_diameter_mm,port_outer_diameter_mm,"
        "shim_id_mm\nJ9," +
            name + ",NOMODEL,compression,2,2026-01-01,10,13,20,6\nJ1," + name +
            ",FORK,compression,2,soon,ten,13,20,6\n\"" + name + "\n");
    const std::vector<std::function<void()>> refused{
        [&] { jobs.add(again); },
        [&] { jobs.add(odd); },
        [&] { jobs.add(long_note); },
        [&] { jobs.close("J4"); },
        [&] {
            jobs.setConsumables("J1", {{"NOTHING", 1, ""}});
        },
        [&] {
            jobs.setStack("J1", {StackRole::asFound,
                                 4,
                                 {{1, Length::parseMillimetres("24"), Length::parseMillimetres("0.1"), {}}}});
        },
        [&] {
            ledger.reserve("J1", {{"S24-10", "A1", Condition::fresh, 5000, ""}});
        },
        [&] {
            ledger.reserve("J5", {{"S24-10", "A1", Condition::fresh, 1, ""}});
        },
        [&] { ledger.post({movement(MovementKind::count, "S24-10", "A1", -1)}); },
        [&] { ledger.post({movement(MovementKind::returned, "S24-10", "A1", 99, "J3")}); },
        [&] { importFile(shop, folder / "jobs.csv"); }};
    int number = 0;
    for (const auto& action : refused) {
        INFO("refusal " << ++number);
        const std::string sentence = sentenceOf(action);
        CHECK_FALSE(sentence.empty());
        CHECK_THAT(sentence, !Contains("Zyx") && !Contains("Private-Person"));
    }
    try {
        importFile(shop, folder / "jobs.csv");
    } catch (const ImportRefused& refusal) {
        for (const ImportProblem& problem : refusal.report().problems)
            CHECK_THAT(problem.text(), !Contains("Zyx"));
    }
}
