// SPDX-License-Identifier: GPL-3.0-or-later
#include "rich_shop.h"

#include "inventory/csv_export.h"
#include "inventory/csv_import.h"
#include "inventory/master_changes.h"
#include "inventory/master_fields.h"
#include "inventory/part_kinds.h"
#include "inventory/purchase_orders.h"
#include "inventory/shop_rescue.h"
#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>

#include <thread>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

const auto mm = Length::parseMillimetres;

/// A small shop with an offer, and something in the drawers.
struct StockedShop : SmallShop {
    PartCatalogue parts{shop};
    BinList bins{shop};
    SupplierList suppliers{shop};
    ComponentModels models{shop};
    MasterHistory history{shop};

    StockedShop() {
        receive("S24-10", "A1", 12);
        suppliers.addOffer(
            {"Invented Discs", "S24-10", 10, 410, "D-24-10", CalendarDate::parse("2026-02-01"), {{5, 380}}});
        models.addConsumable("FORK", {"SEAL", 1, "always"});
    }
};

JobValve plainValve(const std::string& name) {
    return {name, mm("10"), mm("13"), mm("20"), mm("6"), {}, {}};
}

std::map<std::string, std::string> filesIn(const std::filesystem::path& folder) {
    std::map<std::string, std::string> files;
    for (const auto& entry : std::filesystem::directory_iterator(folder))
        files[entry.path().filename().string()] = readBytes(entry.path());
    return files;
}

} // namespace

TEST_CASE("a change of a part keeps the field, what stood there before, what stands there now, and when") {
    StockedShop small;
    Part part = small.parts.get("S24-10");
    part.reorder_point = 12;
    part.note = "the good ones";
    const auto changes = small.parts.update(part);
    REQUIRE(changes.size() == 2);
    CHECK(small.history.ofPart("S24-10") == changes);
    CHECK(changes[0].number == 1);
    CHECK(changes[0].utc == test_time);
    CHECK(changes[0].field == "reorder_point");
    CHECK(changes[0].before.empty());
    CHECK(changes[0].after == "12");
    CHECK(changes[1].field == "note");
    part.reorder_point = 6;
    CHECK(small.parts.update(part).front().before == "12");
    part.reorder_point.reset();
    CHECK(small.parts.update(part).front().after.empty());
    CHECK(small.parts.get("S24-10") == part);
    CHECK(small.history.ofPart("S24-10").size() == 4);
    CHECK(small.history.ofPart("S24-15").empty());
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE("what is so already is no change") {
    StockedShop small;
    CHECK(small.parts.update(small.parts.get("S24-10")).empty());
    CHECK(small.bins.update(small.bins.get("A1")).empty());
    CHECK(small.suppliers.update(small.suppliers.get("Invented Discs")).empty());
    CHECK(small.suppliers.updateOffer(small.suppliers.getOffer("Invented Discs", "S24-10", 10)).empty());
    CHECK(small.models.update(small.models.get("FORK")).empty());
    int changes = 0;
    small.history.forEach([&](const MasterChange&) { ++changes; });
    CHECK(changes == 0);
}

TEST_CASE(
    "every field of every kind of master data is kept when it changes, under the name it has in files") {
    StockedShop small;
    Part part = small.parts.get("S24-15"); // nothing was booked of it
    part.kind = PartKind::other;
    part.unit = QuantityUnit::millimetre;
    part.od = mm("25");
    part.id = mm("8");
    part.thickness = mm("0.2");
    part.section = mm("1");
    part.length = mm("3");
    part.description = part.size_code = part.material = part.hardness = part.coating = "x";
    part.part_class = part.note = "y";
    part.reorder_point = part.shelf_life_months = 7;
    part.retired = true;
    CHECK(small.parts.update(part).size() == fieldsOf<Part>().size());
    CHECK(small.parts.get("S24-15") == part);
    CHECK(small.bins.update({"B1", "C", 77, "low", true}).size() == fieldsOf<Bin>().size());
    CHECK(small.bins.get("B1") == Bin{"B1", "C", 77, "low", true});
    small.suppliers.add({"Another", 7, "EUR", {}, {}, {}, ""});
    const Supplier supplier{"Another", 9, "USD", 2, 5'000, 690, "x", true};
    CHECK(small.suppliers.update(supplier).size() == fieldsOf<Supplier>().size());
    CHECK(small.suppliers.get("Another") == supplier);
    const SupplierPart offer{"Invented Discs", "S24-10", 10, 420, "D2", CalendarDate::parse("2026-03-01"),
                             {{2, 400}},       true};
    CHECK(small.suppliers.updateOffer(offer).size() == fieldsOf<SupplierPart>().size() + 2);
    CHECK(small.suppliers.getOffer("Invented Discs", "S24-10", 10) == offer);
    ComponentModel model{"FORK", ComponentKind::shock, "y", 1, "z", {{"SEAL", 2, ""}}, {plainValve("mid")},
                         true};
    CHECK(small.models.update(model).size() == fieldsOf<ComponentModel>().size() + 2);
    CHECK(small.models.get("FORK") == model);
    ReorderClasses classes(small.shop);
    CHECK(classes.set({"A", 950, 7, 200, 20, 12, 12}).empty()); // made, not changed
    CHECK(classes.set({"A", 980, 14, 300, 25, 6, 24}).size() == fieldsOf<ReorderClass>().size());
    CHECK(verifyStock(small.shop).faults == std::vector<std::string>{});
    small.history.forEach([](const MasterChange& change) {
        CHECK_FALSE(fieldWords(change.about.kind, change.field).noun.empty());
    });
}

TEST_CASE("a part that something was booked or ordered of keeps its sizes, one without may be put right") {
    StockedShop small;
    Part part = small.parts.get("S24-10");
    part.thickness = mm("0.15");
    const std::string refusal = refusalOf([&] { small.parts.update(part); });
    CHECK_THAT(refusal, Contains("part 'S24-10' keeps its kind, unit and sizes") &&
                            Contains("retire it and add the right part"));
    CHECK(small.parts.get("S24-10").thickness == mm("0.10"));
    CHECK(small.history.ofPart("S24-10").empty());
    Part other = small.parts.get("S24-15");
    other.thickness = mm("0.20");
    const auto changes = small.parts.update(other);
    REQUIRE(changes.size() == 1);
    CHECK(changes[0].before == "0.15");
    CHECK(changes[0].after == "0.20");
    PurchaseOrders(small.shop)
        .place({"PO-1", "Invented Discs", test_time, false, "", {{0, "S24-15", 1, 10, 1, 0}}});
    other.thickness = mm("0.25");
    CHECK_THAT(refusalOf([&] { small.parts.update(other); }), Contains("keeps its kind"));
}

TEST_CASE("nothing new of a retired part comes in, but what is there can be used up, moved and counted") {
    StockedShop small;
    small.ledger.reserve("J1", {{"S24-10", "A1", Condition::fresh, 4, ""}});
    const MasterChange change = small.parts.retire("S24-10");
    CHECK(change.field == "retired");
    CHECK(change.after == "yes");
    CHECK_THAT(refusalOf([&] { small.receive("S24-10", "A1", 1); }),
               Contains("cannot receive 1 of part 'S24-10'") && Contains("bring it back first"));
    PurchaseOrders orders(small.shop);
    CHECK_THAT(
        refusalOf([&] {
            orders.place({"PO-1", "Invented Discs", test_time, false, "", {{0, "S24-10", 1, 10, 1, 0}}});
        }),
        Contains("part 'S24-10' is retired") && Contains("before it is ordered"));
    CHECK(orders.list().empty());
    small.ledger.pullAll("J1");
    small.ledger.post({movement(MovementKind::returned, "S24-10", "A2", 1, "J1")});
    MovementLine move = movement(MovementKind::move, "S24-10", "A2", 1);
    move.to_bin = "B1";
    small.ledger.post({move, movement(MovementKind::count, "S24-10", "A1", 7),
                       movement(MovementKind::scrap, "S24-10", "A1", 1)});
    CHECK(small.lot("S24-10", "A1").on_hand == 6);
    CHECK(small.lot("S24-10", "A1").part_retired);
    CHECK(small.parts.bringBack("S24-10").after == "no");
    small.receive("S24-10", "A1", 1);
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE("nothing is put into a retired bin, but what lies there can be taken out and counted") {
    StockedShop small;
    small.ledger.reserve("J1", {{"S24-10", "A1", Condition::fresh, 2, ""}});
    small.bins.retire("A1");
    CHECK_THAT(refusalOf([&] { small.receive("S24-10", "A1", 1); }),
               Contains("into bin 'A1'") && Contains("the bin is retired; name another one"));
    small.receive("S24-15", "A2", 3);
    MovementLine in = movement(MovementKind::move, "S24-15", "A2", 1);
    in.to_bin = "A1";
    CHECK_THAT(refusalOf([&] { small.ledger.post({in}); }), Contains("the bin is retired"));
    small.ledger.pullAll("J1");
    CHECK_THAT(
        refusalOf([&] { small.ledger.post({movement(MovementKind::returned, "S24-10", "A1", 1, "J1")}); }),
        Contains("the bin is retired"));
    MovementLine out = movement(MovementKind::move, "S24-10", "A1", 4);
    out.to_bin = "A2";
    const PostedBatch moved = small.ledger.post({out});
    small.ledger.reverse(moved.movements.front(), "slip"); // undoing is no new movement
    small.ledger.post({movement(MovementKind::count, "S24-10", "A1", 9)});
    CHECK(small.lot("S24-10", "A1").on_hand == 9);
    CHECK(small.lot("S24-10", "A1").bin_retired);
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE("nothing is ordered from a retired supplier and no job opened for a retired model") {
    StockedShop small;
    small.suppliers.retire("Invented Discs");
    CHECK_THAT(refusalOf([&] {
                   PurchaseOrders(small.shop)
                       .place({"PO-1", "Invented Discs", test_time, false, "", {{0, "S24-10", 1, 10, 1, 0}}});
               }),
               Contains("supplier 'Invented Discs' is retired"));
    CHECK_THAT(refusalOf([&] {
                   small.suppliers.addOffer({"Invented Discs", "S24-15", 10, 410, "", {}});
               }),
               Contains("is retired: bring it back first"));
    small.models.retire("FORK");
    CHECK_THAT(refusalOf([&] { JobBook(small.shop).add(plainJob("J9")); }),
               Contains("component model 'FORK' is retired"));
    CHECK(JobBook(small.shop).get("J1").model == "FORK");
}

TEST_CASE("lists leave out what is retired unless asked, and its code stays taken") {
    StockedShop small;
    small.parts.retire("S24-10");
    small.bins.retire("A1");
    small.models.retire("FORK");
    CHECK(small.parts.list().size() == 2);
    CHECK(small.parts.list(Retired::included).size() == 3);
    CHECK(small.parts.listKind(PartKind::shim).size() == 1);
    CHECK_FALSE(small.parts.findShim(mm("24"), mm("6"), mm("0.10")));
    CHECK(small.parts.listShims(mm("24"), mm("6"), mm("0.10")).empty());
    CHECK(small.parts.get("S24-10").retired);
    CHECK(small.bins.list().size() == 2);
    CHECK(small.bins.list(Retired::included).size() == 3);
    CHECK(small.models.list().empty());
    CHECK(small.suppliers.offers().empty()); // an offer goes with its part
    CHECK(small.suppliers.offers(Retired::included).size() == 1);
    CHECK_THAT(refusalOf([&] { small.parts.add(shimPart("S24-10", "24", "0.10")); }),
               Contains("is in the catalogue already, retired: bring it back"));
    CHECK_THAT(refusalOf([&] { small.bins.add({"A1", "", 0, ""}); }), Contains("already, retired"));
    small.suppliers.retire("Invented Discs");
    CHECK(small.suppliers.list().empty());
    CHECK_THAT(refusalOf([&] {
                   small.suppliers.add({"Invented Discs", 1, "EUR", {}, {}, {}, ""});
               }),
               Contains("already, retired"));
    small.parts.add(shimPart("S24-10-B", "24", "0.10")); // the right one beside it
    CHECK(small.parts.findShim(mm("24"), mm("6"), mm("0.10"))->code == "S24-10-B");
}

TEST_CASE("who is retired already, or not at all, is told so") {
    StockedShop small;
    CHECK_THAT(refusalOf([&] { small.parts.bringBack("SEAL"); }),
               Contains("part 'SEAL' is not retired: there is nothing to bring back"));
    small.bins.retire("B1");
    CHECK(refusalOf([&] { small.bins.retire("B1"); }) == "bin 'B1' is retired already");
    small.suppliers.retireOffer("Invented Discs", "S24-10", 10);
    CHECK_THAT(refusalOf([&] { small.suppliers.retireOffer("Invented Discs", "S24-10", 10); }),
               Contains("is retired already"));
    CHECK(small.suppliers.offersOfPart("S24-10").empty());
    small.suppliers.bringOfferBack("Invented Discs", "S24-10", 10);
    CHECK(small.suppliers.offersOfPart("S24-10").size() == 1);
    CHECK_THAT(refusalOf([&] { small.suppliers.retireOffer("Invented Discs", "S24-10", 25); }),
               Contains("does not offer part 'S24-10' in packs of 25: it offers packs of 10"));
    for (const auto& unknown : std::vector<std::function<void()>>{
             [&] { small.parts.retire("NOPE"); }, [&] { small.bins.retire("NOPE"); },
             [&] { small.suppliers.retire("NOPE"); }, [&] { small.models.retire("NOPE"); },
             [&] { small.suppliers.retireOffer("NOPE", "S24-10", 10); }}) {
        CHECK_THAT(refusalOf(unknown), Contains("there is no ") && Contains("'NOPE'"));
    }
}

TEST_CASE("who changes what somebody else has changed meanwhile is told, and nothing is lost") {
    StockedShop small;
    ShopFile other = ShopFile::open(small.shop.path(), fixedClock(test_time));
    const Part seen = small.parts.get("S24-10");
    Part theirs = seen;
    theirs.reorder_point = 20;
    PartCatalogue(other).update(theirs, seen);
    Part ours = seen;
    ours.note = "ours";
    CHECK(refusalOf([&] { small.parts.update(ours, seen); }) ==
          "part 'S24-10' has been changed by somebody else meanwhile: look at it again");
    CHECK(small.parts.get("S24-10") == theirs);
    const Bin bin = small.bins.get("A1");
    Bin moved = bin;
    moved.cabinet = "C";
    BinList(other).update(moved);
    CHECK_THAT(refusalOf([&] { small.bins.update({"A1", "D", 1, ""}, bin); }), Contains("meanwhile"));
}

TEST_CASE("two programs that change the same part at once lose nothing of what either was told is done") {
    StockedShop small;
    constexpr int rounds = 40;
    const auto raise = [&](const char* field_note) {
        ShopFile shop = ShopFile::open(small.shop.path(), fixedClock(test_time));
        PartCatalogue parts(shop);
        for (int round = 0; round < rounds; ++round) {
            shop.atomically([&] {
                Part part = parts.get("S24-10");
                part.reorder_point = part.reorder_point.value_or(0) + 1;
                part.note = field_note + std::to_string(round);
                parts.update(part);
            });
        }
    };
    std::thread one(raise, "one "), two(raise, "two ");
    one.join();
    two.join();
    CHECK(small.parts.get("S24-10").reorder_point == 2 * rounds);
    const auto changes = small.history.ofPart("S24-10");
    CHECK(changes.size() == 4 * rounds);
    const VerifyReport report = verifyStock(small.shop);
    CHECK(report.faults == std::vector<std::string>{});
}

TEST_CASE("a series of bins has as many digits as its first one") {
    const auto series = binSeries("A01..A52");
    REQUIRE(series.size() == 52);
    CHECK(series.front() == "A01");
    CHECK(series[9] == "A10");
    CHECK(series.back() == "A52");
    CHECK(binSeries("9..11") == std::vector<std::string>{"9", "10", "11"});
    CHECK(binSeries("S-098..S-101").back() == "S-101");
    CHECK(binSeries("A1..A1").size() == 1);
    CHECK(binSeries("BIN 7") == std::vector<std::string>{"BIN 7"});
    for (const char* wrong : {"A01..B52", "A52..A01", "A01..A5", "A01..A005", "A..B", "A01..", "..A5",
                              "A1..A5000", "A01..A52..A60", "A1..A9999999999", "a1..A5"}) {
        INFO(wrong);
        CHECK_THAT(refusalOf([&] { static_cast<void>(binSeries(wrong)); }), Contains("is no series of bins"));
    }
}

TEST_CASE("a supplier with prices keeps its currency, an offer's breaks must come down") {
    StockedShop small;
    Supplier supplier = small.suppliers.get("Invented Discs");
    supplier.currency = "USD";
    CHECK_THAT(refusalOf([&] { small.suppliers.update(supplier); }), Contains("keeps its currency EUR"));
    SupplierPart offer = small.suppliers.getOffer("Invented Discs", "S24-10", 10);
    offer.pack_price = 350; // below its break
    CHECK_THAT(refusalOf([&] { small.suppliers.updateOffer(offer); }),
               Contains("must not be dearer than for fewer packs"));
    CHECK(small.suppliers.getOffer("Invented Discs", "S24-10", 10).pack_price == 410);
    offer.breaks = {{5, 340}, {20, 300}};
    const auto changes = small.suppliers.updateOffer(offer);
    REQUIRE(changes.size() == 3);
    CHECK(changes[0].field == "pack_price");
    CHECK(changes[0].before == "4.10");
    CHECK(changes[0].about.pack_size == 10);
    CHECK(changes[1].item == "5");
    CHECK(changes[2].before.empty());
    CHECK(changes[2].after == "3.00");
    offer.breaks.push_back({20, 300});
    CHECK_THAT(refusalOf([&] { small.suppliers.updateOffer(offer); }), Contains("is there already"));
    CHECK(small.history.ofPart("S24-10") == changes);
    CHECK(small.history.ofSupplier("Invented Discs") == changes);
}

TEST_CASE("a model's valves and wear parts change with the model, and the part tells of it") {
    StockedShop small;
    ComponentModel model = small.models.get("FORK");
    model.valves.push_back(plainValve("compression"));
    model.consumables = {{"SEAL", 2, "always"}, {"S24-10", 4, ""}};
    const auto changes = small.models.update(model);
    REQUIRE(changes.size() == 3);
    CHECK(changes[0].about.part == "S24-10");
    CHECK(changes[0].after == "4 per leg");
    CHECK(changes[1].before == "1 per leg (always)");
    CHECK(changes[2].item == "compression");
    CHECK(changes[2].after == "clamp 10.0, ports 13.0 to 20.0, bore 6.0");
    CHECK(small.models.get("FORK") == model);
    CHECK(small.history.ofPart("SEAL").size() == 1);
    CHECK(small.history.ofModel("FORK") == changes);
    model.valves.push_back(plainValve("compression"));
    CHECK_THAT(refusalOf([&] { small.models.update(model); }),
               Contains("valve 'compression' of model 'FORK' is there already"));
    model.valves = {plainValve("mid")};
    model.valves[0].port_outer_diameter = mm("12");
    CHECK_THAT(refusalOf([&] { small.models.update(model); }), Contains("not above its inner diameter"));
    small.parts.retire("S24-10");
    model.valves.clear(); // a wear part that is retired stays on the list until it is taken off
    CHECK(small.models.update(model).size() == 1);
    model.consumables.pop_back();
    small.models.update(model);
    model.consumables.push_back({"S24-10", 1, ""});
    CHECK_THAT(refusalOf([&] { small.models.update(model); }), Contains("is retired: bring it back first"));
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE("a kept change is never changed, deleted or replaced", "[file]") {
    StockedShop small;
    small.parts.retire("S24-10");
    RawDatabase raw(small.shop.path());
    CHECK(raw.run("UPDATE master_changes SET before = 'x'") ==
          "a kept change is never changed: change the data once more");
    CHECK(raw.run("DELETE FROM master_changes") == "a kept change is never deleted");
    CHECK(raw.run("INSERT OR REPLACE INTO master_changes SELECT * FROM master_changes") ==
          "a kept change is never replaced");
    CHECK(small.history.ofPart("S24-10").size() == 1);
}

TEST_CASE("verify tells of data that was changed behind the kept changes", "[file]") {
    StockedShop small;
    SupplierPart offer = small.suppliers.getOffer("Invented Discs", "S24-10", 10);
    offer.pack_price = 450;
    small.suppliers.updateOffer(offer);
    offer.pack_price = 500;
    small.suppliers.updateOffer(offer);
    CHECK(verifyStock(small.shop).good());
    RawDatabase raw(small.shop.path());
    CHECK(raw.run("UPDATE supplier_parts SET pack_price = 1") == "");
    const auto changed = verifyStock(small.shop).faults;
    REQUIRE(changed.size() == 1);
    CHECK_THAT(changed[0], Contains("left '5.00', but '0.01' stands there now"));
    CHECK(raw.run("UPDATE supplier_parts SET pack_price = 500") == "");
    const std::string trigger =
        raw.value("SELECT sql FROM sqlite_schema WHERE name = 'master_changes_never_go'");
    CHECK(raw.run("DROP TRIGGER master_changes_never_go; DELETE FROM master_changes WHERE change_id = 1") ==
          "");
    CHECK(raw.run(trigger) == "");
    CHECK_THAT(verifyStock(small.shop).faults.at(0), Contains("change 1 of master data is missing"));
}

TEST_CASE("a refused change leaves neither data nor a kept change behind") {
    StockedShop small;
    CHECK_THROWS(small.shop.atomically([&] {
        small.parts.retire("S24-10");
        small.bins.retire("A1");
        small.parts.retire("NOPE");
    }));
    CHECK_FALSE(small.parts.get("S24-10").retired);
    CHECK_FALSE(small.bins.get("A1").retired);
    CHECK(small.history.ofBin("A1").empty());
}

TEST_CASE("what is retired and what was changed comes back from an export as it was") {
    StockedShop small;
    MovementLine move = movement(MovementKind::move, "S24-10", "A1", 2);
    move.to_bin = "A2";
    small.ledger.post({move});
    PurchaseOrders(small.shop)
        .place({"PO-1", "Invented Discs", test_time, false, "", {{0, "S24-10", 1, 10, 1, 0}}});
    Part part = small.parts.get("S24-10");
    part.note = "=1+1\r\n\"quoted\"";
    small.parts.update(part);
    small.parts.retire("S24-10");
    small.bins.retire("A1");
    SupplierPart offer = small.suppliers.getOffer("Invented Discs", "S24-10", 10);
    offer.pack_price = 450;
    offer.breaks = {{8, 400}};
    small.suppliers.updateOffer(offer);
    small.suppliers.retireOffer("Invented Discs", "S24-10", 10);
    small.suppliers.retire("Invented Discs");
    ComponentModel model = small.models.get("FORK");
    model.valves = {plainValve("rebound"), plainValve("compression")};
    model.valves[0].seat_diameter = mm("20.5");
    model.valves[0].preload = mm("0.1");
    model.consumables.clear();
    small.models.update(model);
    small.models.retire("FORK");
    ReorderClasses classes(small.shop);
    classes.set({"", 950, 7, 200, 20, 12, 12});
    classes.set({"", 980, 7, 200, 20, 12, 12});
    exportShopFolder(small.shop, small.folder / "first");
    ShopFile copy = ShopFile::create(small.folder.shop("copy.db"), fixedClock(test_time));
    importShopFolder(copy, small.folder / "first");
    exportShopFolder(copy, small.folder / "second");
    CHECK(filesIn(small.folder / "first") == filesIn(small.folder / "second"));
    CHECK(verifyStock(copy).good());
    CHECK(PartCatalogue(copy).get("S24-10").retired);
    CHECK(ComponentModels(copy).get("FORK") == small.models.get("FORK"));
    CHECK(MasterHistory(copy).ofPart("S24-10") == small.history.ofPart("S24-10"));
}

TEST_CASE("a rescued shop keeps what is retired and what was changed") {
    TemporaryFolder folder;
    const auto path = folder / "shop.db";
    {
        ShopFile shop = ShopFile::create(path, fixedClock(test_time));
        fillRichShop(shop);
        addOrdering(shop);
        addOwnData(shop);
        addFlow(shop);
        addTries(shop);
        addFurtherValve(shop);
        addRecipes(shop);
    }
    for (const RescuedTable& table : rescueShopFile(path, folder / "rescued")) {
        INFO(table.file);
        CHECK(table.whole());
    }
    ShopFile again = ShopFile::create(folder.shop("again.db"), fixedClock(test_time));
    importShopFolder(again, folder / "rescued");
    CHECK(verifyStock(again).good());
    CHECK(BinList(again).get("C1").retired);
    CHECK(MasterHistory(again).ofPart("S24-10").size() == 3);
    CHECK(ComponentModels(again).get("FORK").valves.size() == 1);
    CHECK(ModelFlows(again).get("FORK", "compression").adjuster.size() == 3);
    CHECK(RecipeList(again).list().size() == 1);
    CHECK(RecipeList(again).get("race").retired);
    CHECK(MasterHistory(again).ofRecipe("trail, \"soft\"").size() == 2);
}

TEST_CASE("an import changes what is there only with the change kept, and cannot bring changes of its own") {
    StockedShop small;
    const auto import = [&](const std::string& file, const std::string& text) {
        writeBytes(small.folder / file, text);
        importFile(small.shop, small.folder / file);
    };
    import("price_breaks.csv",
           "supplier,part,pack_size,from_packs,pack_price\nInvented Discs,S24-10,10,20,3.00\n");
    import("model_consumables.csv", "model,part,quantity_per_leg\nFORK,S24-10,4\n");
    import("model_valves.csv",
           "model,valve,clamp_od_mm,port_inner_diameter_mm,port_outer_diameter_mm,shim_id_mm\n"
           "FORK,mid,10,13,20,6\n");
    const auto changes = small.history.ofPart("S24-10");
    REQUIRE(changes.size() == 2);
    CHECK(changes[0].field == price_break_field);
    CHECK(changes[0].after == "3.00");
    CHECK(changes[1].field == wear_part_field);
    CHECK(small.history.ofModel("FORK").size() == 2);
    CHECK_THAT(refusalOf([&] {
                   import("parts.csv", "part,kind,description,od_mm,id_mm,thickness_mm,reorder_point\n"
                                       "S24-10,shim,x,24,6,0.1,9\n");
               }),
               Contains("is in the catalogue already"));
    const std::string header = "utc,kind,part,field,before,after\n2020-01-01T00:00:00Z,";
    CHECK_THAT(refusalOf([&] { import("master_changes.csv", header + "part,S24-10,note,,x\n"); }),
               Contains("was here before"));
    for (const auto& wrong :
         std::map<std::string, std::string>{{"banana,S24-10,note,,x", "is no kind of master data"},
                                            {"part,NOPE,note,,x", "there is no part 'NOPE'"},
                                            {"bin,S24-10,note,,x", "has none: leave it empty"},
                                            {"part,S24-10,note,x,x", "was here before"},
                                            {"offer,S24-10,note,,x", "an offer is one of a pack"}}) {
        INFO(wrong.first);
        CHECK_THAT(refusalOf([&] { import("master_changes.csv", header + wrong.first + "\n"); }),
                   Contains(wrong.second));
    }
    CHECK(small.history.ofPart("S24-10").size() == 2);
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE("kept changes that come in must end at what comes in with them") {
    const TemporaryFolder folder;
    ShopFile shop = ShopFile::create(folder.shop("shop.db"), fixedClock(test_time));
    std::filesystem::create_directory(folder / "in");
    writeBytes(folder / "in" / "bins.csv", "bin,cabinet,walking_order\nA1,C,10\n");
    const auto changes = [&](const std::string& row) {
        writeBytes(folder / "in" / "master_changes.csv",
                   "utc,kind,bin,field,before,after\n2020-01-01T00:00:00Z,bin,A1," + row + "\n");
        return refusalOf([&] { importShopFolder(shop, folder / "in"); });
    };
    CHECK_THAT(changes("cabinet,A,B"), Contains("left 'B', but 'C' stands there now"));
    CHECK_THAT(changes("colour,A,B"), Contains("'colour' is no field of a bin"));
    CHECK_THAT(changes("cabinet,C,C"), Contains("is what stood there before"));
    CHECK(BinList(shop).list().empty());
    CHECK(changes("cabinet,A,C") == "");
    CHECK(MasterHistory(shop).ofBin("A1").size() == 1);
}

TEST_CASE("what is typed into a field is read strictly, and the refusal names the field") {
    Part part;
    const auto set = [&](std::string_view name, const std::string& text) {
        for (const auto& field : fieldsOf<Part>()) {
            if (field.name == name) return refusalOf([&] { setField(part, field, text); });
        }
        return std::string("no such field");
    };
    CHECK(set("od_mm", "24.0") == "");
    CHECK(part.od == mm("24"));
    CHECK(set("od_mm", "") == "");
    CHECK_FALSE(part.od);
    CHECK_THAT(set("od_mm", "24,0"), Contains("the outer diameter cannot be read"));
    for (const char* wrong :
         {"x", "-1", "010", "0x10", "1.5", "1e3", "99999999999999999999", "1000000001", "+3", " 3"}) {
        INFO(wrong);
        CHECK_THAT(set("reorder_point", wrong), Contains("the reorder point cannot be read"));
    }
    CHECK_THAT(set("shelf_life_months", "0"), Contains("give 1 to 1200"));
    CHECK_THAT(set("kind", "banana"), Contains("is no kind of part"));
    CHECK_THAT(set("kind", ""), Contains("may not be empty"));
    CHECK_THAT(set("unit", "inch"), Contains("write piece, mm or ml"));
}
