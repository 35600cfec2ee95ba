// SPDX-License-Identifier: GPL-3.0-or-later
#include "small_shop.h"

#include "app/services/parts_finder.h"
#include "app/services/standard_o_rings.h"
#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;

namespace {

void addRing(inventory::ShopFile& shop, const std::string& code, const std::string& size_code,
             const std::string& id, const std::string& section) {
    inventory::Part part;
    part.code = code;
    part.kind = inventory::PartKind::oRing;
    part.description = "O-ring, generic";
    part.size_code = size_code;
    part.id = mm(id);
    part.section = mm(section);
    part.material = "NBR";
    part.hardness = "70";
    inventory::PartCatalogue(shop).add(part);
}

} // namespace

TEST_CASE("a measured disc is found with its difference, its drawer and what is available") {
    SmallShop small;
    const PartSearch search = findParts(small.shop, "23.9 x 6 x 0.148");
    // 0.12 is the nearest that this shop has, and it is another size.
    REQUIRE(!search.matches.empty());
    CHECK(search.matches[0].part == shimCode("24", "0.12"));
    CHECK_FALSE(search.matches[0].within_tolerance);
    CHECK_THAT(search.verdict, Contains("Nothing has that size"));

    small.addPart(shimCode("24", "0.15"), "24", "0.15", {});
    small.receive(shimCode("24", "0.15"), "A2", 7);
    const PartSearch again = findParts(small.shop, "23.9 x 6 x 0.148");
    CHECK(again.matches[0].part == shimCode("24", "0.15"));
    CHECK(again.matches[0].within_tolerance);
    CHECK_FALSE(again.matches[0].tied);
    CHECK(again.matches[0].differenceText() == "outer diameter 0.10 mm under, thickness 0.002 mm under");
    CHECK(again.matches[0].available == 7);
    CHECK(again.matches[0].bins == "A2");
    CHECK(again.matches[1].part == shimCode("24", "0.12"));
    CHECK_THAT(again.verdict, Contains("Nearest: shim 24.0 x 6.0 x 0.15"));
}

TEST_CASE("two sizes that a reading cannot tell apart are flagged as equally likely") {
    SmallShop small;
    small.addPart("S24-0.15", "24", "0.15", {});
    small.addPart("S24-0.145", "24", "0.145", {});
    const PartSearch search = findParts(small.shop, "24 x 6 x 0.148");
    CHECK(search.matches[0].part == "S24-0.15");
    CHECK(search.matches[0].tied);
    CHECK(search.matches[1].tied);
    CHECK_FALSE(search.matches[2].tied);
    CHECK_THAT(search.verdict, Contains("Equally likely") && Contains("S24-0.15") && Contains("S24-0.145"));
    CHECK_FALSE(findParts(small.shop, "24 x 6 x 0.150").matches[0].tied);
}

TEST_CASE("a thickness halfway between two sizes is neither of them") {
    SmallShop small;
    small.addPart("T26-0.10", "26", "0.10", {});
    small.addPart("T26-0.15", "26", "0.15", {});
    const PartSearch search = findParts(small.shop, "26 x 6 x 0.125");
    CHECK_FALSE(search.matches[0].within_tolerance);
    CHECK_FALSE(search.matches[1].within_tolerance);
    CHECK_FALSE(search.matches[0].tied);
    CHECK_THAT(search.verdict, Contains("Nothing has that size"));
}

TEST_CASE("an O-ring is found in the standards' lists, and in the catalogue where the shop has it") {
    SmallShop small;
    PartSearch search = findParts(small.shop, "18.6 x 3.5 oring");
    CHECK(search.matches[0].what == "O-ring 18.64 x 3.53");
    CHECK(search.matches[0].standard == "ISO 3601-1 code 210");
    CHECK(search.matches[0].part.empty());
    CHECK(search.matches[0].differenceText() == "inner diameter 0.04 mm under, cross-section 0.03 mm under");
    addRing(small.shop, "OR-210", "210", "18.64", "3.53");
    small.receive("OR-210", "B1", 4);
    search = findParts(small.shop, "18.6 x 3.5 o-ring");
    CHECK(search.matches[0].part == "OR-210");
    CHECK(search.matches[0].standard == "ISO 3601-1 code 210");
    CHECK(search.matches[0].available == 4);
    CHECK(search.matches[1].standard != "ISO 3601-1 code 210"); // not told twice
    addRing(small.shop, "OR-210-FKM", "210", "18.64", "3.53");
    CHECK_THAT(findParts(small.shop, "18.6 x 3.5 o-ring").verdict,
               Contains("Of that size there are") && Contains("Their material tells them apart"));
}

TEST_CASE("a JIS ring next to an ISO ring of the same measure is a tie") {
    SmallShop small;
    // ISO 113 is 13.94 x 2.62, JIS P14 13.8 x 2.4: a caliper on rubber at 13.87 x 2.51 cannot choose.
    const PartSearch search = findParts(small.shop, "13.87 x 2.51 oring");
    CHECK(search.matches[0].tied);
    CHECK(search.matches[1].tied);
    CHECK_THAT(search.verdict, Contains("JIS B 2401-1 P14") && Contains("ISO 3601-1 code 113"));
}

TEST_CASE("whoever types the outer before the inner diameter of a seal is understood") {
    SmallShop small;
    CHECK(findParts(small.shop, "oil seal 48 x 35 x 11").matches[0].part == "SEAL");
    CHECK(findParts(small.shop, "seal 35x48").matches[0].part == "SEAL");
    CHECK(findParts(small.shop, "6 24.1 0.1 disc").matches[0].part == shimCode("24", "0.10"));
}

TEST_CASE("what is no measurement is refused with an example") {
    for (const char* text :
         {"", "shim", "1 x 2 x 3 x 4", "24 x 0 x 0.1", "-24 x 6", "24 gear", "1.024,5 x 6"}) {
        INFO(text);
        CHECK_THROWS_AS(parseMeasured(text), InputError);
    }
    CHECK(parseMeasured("24 \xc3\x97 6 \xc3\x97 .1 mm").sizes ==
          std::vector<Length>{mm("24"), mm("6"), mm("0.1")});
}

TEST_CASE("the standards' lists are whole") {
    CHECK(standardORings().size() == 349 + 168);
    CHECK(glandRules().size() == 63);
    CHECK(findStandardORing("P10A")->section == mm("2.4"));
    CHECK(findStandardORing("P10")->section == mm("1.9"));
    CHECK_FALSE(findStandardORing("999"));
}
