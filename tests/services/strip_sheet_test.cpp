// SPDX-License-Identifier: GPL-3.0-or-later
#include "small_shop.h"

#include "app/services/found_stack.h"
#include "app/services/stock_flow.h"
#include "app/services/strip_sheet.h"
#include "inventory/stock_snapshot.h"
#include "inventory/stock_verify.h"
#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;

namespace {

std::vector<inventory::StripRow> rows(const std::vector<const char*>& texts) {
    std::vector<inventory::StripRow> found;
    for (const char* text : texts) found.push_back(parseStripRow(text));
    return found;
}

std::int64_t usedOnHand(const inventory::ShopFile& shop, const std::string& part) {
    std::int64_t sum = 0;
    for (const auto& lot : inventory::stockSnapshot(shop).lots) {
        if (lot.part == part && lot.condition == inventory::Condition::used) sum += lot.on_hand;
    }
    return sum;
}

/// J1's target, reserved and pulled.
void build(SmallShop& small) {
    small.receive(shimCode("24", "0.10"), "A1", 1);
    small.ledger.reserve("J1", {{shimCode("24", "0.10"), "A1", inventory::Condition::fresh, 4}});
    pullAll(small.shop, "J1");
}

} // namespace

TEST_CASE("a strip row is typed in the trade's notation, with readings, part and scrap") {
    const auto row = parseStripRow("4 x 23.9 x 0.148 0.150 !1 bent at the edge");
    CHECK(row.count == 4);
    CHECK(row.od == mm("23.9"));
    CHECK(row.readings == std::vector<Length>{mm("0.148"), mm("0.150")});
    CHECK(row.scrap == 1);
    CHECK(row.scrap_reason == "bent at the edge");
    CHECK(parseStripRow("2 x 24 x SH-24.0-6-0.10").part == "SH-24.0-6-0.10");
    CHECK(parseStripRow("2x24x0.10").readings == std::vector<Length>{mm("0.10")});
    for (const char* text : {"", "4", "4 x 24", "x 24 x 0.1", "0 x 24 x 0.1", "2 x 24 x A B",
                             "2 x 24 x 0.1 !", "2 x 24 x 0.1 !b", "2 x 24 x 0.1 >", "2 x 24 x 0.1 > A1 A2"}) {
        INFO(text);
        CHECK_THROWS_AS(parseStripRow(text), InputError);
    }
}

TEST_CASE("a disc of a size that lies in no drawer goes to the one that its row names, also when the strip "
          "is read again") {
    SmallShop small;
    inventory::Part odd;
    odd.code = "SH-ODD";
    odd.kind = inventory::PartKind::shim;
    odd.description = "an odd one";
    odd.od = mm("23.5");
    odd.id = mm("6");
    odd.thickness = mm("0.17");
    inventory::PartCatalogue(small.shop).add(odd);
    build(small);
    small.receive(shimCode("24", "0.10"), "A1", 2);
    recordStrip(small.shop, "J1", 1, {parseStripRow("2 x 23.5 x 0.17"), parseStripRow("1 x 24 x 0.10")});
    CHECK_THROWS_WITH(putAway(small.shop, "J1"),
                      Contains("no drawer is named for SH-ODD") && Contains("> F07"));
    CHECK_THROWS_WITH(recordStrip(small.shop, "J1", 1, {parseStripRow("2 x 23.5 x 0.17 > NOWHERE")}),
                      Contains("NOWHERE"));

    const auto named = parseStripRow("2 x 23.5 x 0.17 > A2 !1 bent");
    CHECK(named.bin == "A2");
    CHECK(parseStripRow(stripRowText(named, SizeUnit::millimetres)) == named);
    recordStrip(small.shop, "J1", 1, {parseStripRow("2 x 23.5 x 0.17 > A2"), parseStripRow("1 x 24 x 0.10")});
    const auto lines = stripSheets(small.shop, "J1")[0].lines;
    CHECK(lines[0].drawer_named);
    CHECK_FALSE(lines[1].drawer_named); // the program's own choice
    putAway(small.shop, "J1");
    CHECK(usedOnHand(small.shop, "SH-ODD") == 2);
}

TEST_CASE("each disc of a strip is identified and given its drawer, where used ones of its kind lie") {
    SmallShop small;
    const StripView view =
        recordStrip(small.shop, "J1", 1, rows({"2 x 23.95 x 0.118", "1 x 18 x 0.151", "1 x 15 x 0.2"}));
    CHECK(view.lines[0].row.part == shimCode("24", "0.12"));
    CHECK(view.lines[0].what == "shim 24.0 x 6.0 x 0.12");
    CHECK(view.lines[0].row.bin == "F1");
    CHECK(view.lines[1].row.part == shimCode("18", "0.15"));
    CHECK(view.lines[1].row.bin == "A1");
    CHECK(view.lines[2].row.part.empty());
    CHECK_THAT(view.lines[2].candidates, Contains("Nothing has that size"));
    const auto written = stripSheets(small.shop, "J1");
    REQUIRE(written.size() == 1);
    CHECK(written[0].lines[0].row == view.lines[0].row);
}

TEST_CASE("a target begins from what was found, in the sizes that lie in the drawers") {
    SmallShop small;
    CHECK_THROWS_WITH(foundStack(small.shop, "J1"), Contains("no leg of job 'J1' has been stripped"));
    recordStrip(small.shop, "J1", 2, rows({"2 x 23.95 x 0.118", "1 x 15 x 0.2"}));
    FoundStack found = foundStack(small.shop, "J1");
    CHECK(found.leg == 2);
    CHECK_FALSE(found.legs_differ);
    REQUIRE(found.rows.size() == 2);
    CHECK(found.rows[0] == inventory::StackRow{2, mm("24"), mm("0.12"), {}});
    CHECK(found.rows[1] == inventory::StackRow{1, mm("15"), mm("0.2"), {}}); // no such shim: as measured
    // The same discs with other readings are the same; other discs are told.
    recordStrip(small.shop, "J1", 1, rows({"2 x 24.00 x 0.121", "1 x 15 x 0.2"}));
    found = foundStack(small.shop, "J1");
    CHECK(found.leg == 1);
    CHECK_FALSE(found.legs_differ);
    recordStrip(small.shop, "J1", 1, rows({"3 x 24.00 x 0.121", "1 x 15 x 0.2"}));
    CHECK(foundStack(small.shop, "J1").legs_differ);
}

TEST_CASE("two legs are compared by their discs and by how they open") {
    SmallShop small;
    recordStrip(small.shop, "J1", 1, rows({"2 x 24 x 0.10", "1 x 18 x 0.15", "1 x 10 x 0.30"}));
    recordStrip(small.shop, "J1", 2, rows({"2 x 24 x 0.12", "1 x 18 x 0.15", "1 x 10 x 0.30"}));
    const LegComparison comparison = compareLegs(small.shop, "J1");
    REQUIRE(comparison.rows.size() == 1);
    CHECK(comparison.rows[0].sentence == "row 1: leg 1 has 2 x 24.0 x 0.10, leg 2 has 2 x 24.0 x 0.12");
    REQUIRE(comparison.curves);
    // At small lift two lone 24 mm discs behind one 18: between the cube ratio 1.73 and 1.
    CHECK(comparison.curves->small_lift_ratio > 1.2);
    CHECK(comparison.curves->small_lift_ratio < 1.73);
    CHECK_THAT(comparison.curve_sentence, Contains("leg 2 is up to") && Contains("stiffer than leg 1"));
    // The other way round it is the softer one.
    CHECK_THAT(compareLegs(small.shop, "J1", 2, 1).curve_sentence, Contains("softer than leg 2"));

    recordStrip(small.shop, "J1", 2, rows({"2 x 24 x 0.10", "1 x 18 x 0.15", "1 x 10 x 0.30"}));
    CHECK(compareLegs(small.shop, "J1").rows.empty());
    CHECK(compareLegs(small.shop, "J1").curve_sentence == "both legs open alike");
    CHECK_THROWS_AS(compareLegs(small.shop, "J2"), InputError);
}

TEST_CASE("a leg that differs most at no lift is told that once") {
    SmallShop small;
    recordStrip(small.shop, "J1", 1, rows({"2 x 24 x 0.10", "1 x 10 x 0.30"}));
    recordStrip(small.shop, "J1", 2, rows({"2 x 24 x 0.10", "1 x 18 x 0.15", "1 x 10 x 0.30"}));
    const LegComparison comparison = compareLegs(small.shop, "J1");
    REQUIRE(comparison.curves);
    const bool most_at_no_lift = comparison.curves->at_lift_mm < 0.005;
    CHECK(most_at_no_lift == (comparison.curve_sentence.find("at small lift") == std::string::npos));
    CHECK_THAT(comparison.curve_sentence, Contains("at full lift"));
}

TEST_CASE("a reclaimed disc whose drawer holds only new ones is marked") {
    SmallShop small;
    recordStrip(small.shop, "J1", 1, rows({"1 x 18 x 0.15", "1 x 24 x 0.12"}));
    const PutAway away = putAwayList(small.shop, "J1");
    REQUIRE(away.lines.size() == 2);
    CHECK(away.lines[0].bin == "A1");
    CHECK(away.lines[0].among_new);
    CHECK_FALSE(away.lines[1].among_new);
}

TEST_CASE("reclaimed discs go back as used when the job is built, scrap and unknown ones do not") {
    SmallShop small;
    const std::string disc = shimCode("24", "0.12");
    recordStrip(small.shop, "J1", 1, rows({"4 x 24 x 0.12 !1 scored", "1 x 15 x 0.2"}));
    recordStrip(small.shop, "J1", 2, rows({"4 x 24 x 0.12"}));
    const std::int64_t before = usedOnHand(small.shop, disc);
    CHECK_THROWS_WITH(putAway(small.shop, "J1"), Contains("is not built yet"));

    build(small);
    const PutAway away = putAwayList(small.shop, "J1");
    REQUIRE(away.lines.size() == 1);
    CHECK(away.lines[0].quantity == 7);
    CHECK(away.lines[0].bin == "F1");
    CHECK_FALSE(away.lines[0].among_new); // used ones lie there
    CHECK(away.left_out ==
          std::vector<std::string>{"leg 1, row 1: 1 scrap (scored)", "leg 1, row 2: 1 not identified"});
    const auto batch = putAway(small.shop, "J1");
    CHECK(usedOnHand(small.shop, disc) == before + 7);
    CHECK_THROWS_WITH(putAway(small.shop, "J1"), Contains("nothing of the strip"));
    // Undone, it may be done again.
    small.ledger.reverseBatch(batch.batch, "wrong drawer");
    CHECK(putAwayList(small.shop, "J1").lines[0].quantity == 7);
    CHECK(inventory::verifyStock(small.shop).good());
}

TEST_CASE("discs put away by hand are not put away twice") {
    SmallShop small;
    const std::string disc = shimCode("24", "0.12");
    recordStrip(small.shop, "J1", 1, rows({"4 x 24 x 0.12"}));
    build(small);
    returnPieces(small.shop, {disc, "f1", 3, inventory::Condition::used, "J1"});
    CHECK(putAwayList(small.shop, "J1").lines[0].quantity == 1);
}

TEST_CASE("a row whose reading has slipped a digit or is in inches is refused, and nothing is written down") {
    SmallShop small;
    for (const auto& [row, words] : {std::pair{"4 x 24 x 1.01", "ten times"},
                                     {"4 x 24 x 0.01", ""},
                                     {"2 x 10 x 0.03", "a tenth of"},
                                     {"1 x 10 x 0.012", ""}}) {
        INFO(row);
        const std::vector<inventory::StripRow> rows{parseStripRow("1 x 18 x 0.15"), parseStripRow(row)};
        if (*words != '\0') {
            CHECK_THROWS_WITH(recordStrip(small.shop, "J1", 1, rows),
                              Catch::Contains("row 2") && Catch::Contains(words));
        } else {
            CHECK_THROWS_AS(recordStrip(small.shop, "J1", 1, rows),
                            InputError); // below any micrometer reading
        }
        CHECK(stripSheets(small.shop, "J1").empty());
    }
    // An odd disc that no slip explains is written down and told of.
    CHECK_FALSE(
        recordStrip(small.shop, "J1", 1, {parseStripRow("1 x 24 x 0.45")}).lines[0].candidates.empty());
}
