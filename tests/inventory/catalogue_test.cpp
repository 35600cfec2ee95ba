// SPDX-License-Identifier: GPL-3.0-or-later
#include "support.h"

#include "inventory/part_kinds.h"
#include "inventory/thickness_reading.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

TEST_CASE("a part comes back as it went in, whatever its kind") {
    SmallShop small;
    PartCatalogue catalogue(small.shop);
    for (const PartKindRule& rule : allPartKinds()) {
        Part part;
        part.code = std::string("KIND-").append(rule.name);
        part.kind = rule.kind;
        part.description = "description; with \"quotes\", commas";
        std::int64_t size = 20'000;
        for (const SizeField* field : rule.needs)
            part.*(field->member) = Length::fromMicrometres(size += 1'001);
        if (part.od && part.id && *part.id >= *part.od) std::swap(part.od, part.id);
        if (rule.needs_od_or_id) part.id = Length::fromMicrometres(9'000);
        part.size_code = "P18";
        part.material = "NBR";
        part.hardness = "70";
        part.coating = "PTFE";
        if (rule.kind == PartKind::fluid) part.unit = QuantityUnit::millilitre;
        part.part_class = "A";
        part.reorder_point = 6;
        part.shelf_life_months = 60;
        part.note = "line one\nline two";
        catalogue.add(part);
        CHECK(catalogue.get(part.code) == part);
        CHECK(parsePartKind(rule.name) == rule.kind);
        CHECK_FALSE(partText(part).empty());
    }
    CHECK(catalogue.list().size() == 3 + allPartKinds().size());
    CHECK(catalogue.listKind(PartKind::shim).size() == 3);
}

TEST_CASE("a shim is found by its size") {
    SmallShop small;
    PartCatalogue catalogue(small.shop);
    const auto mm = Length::parseMillimetres;
    CHECK(catalogue.findShim(mm("24"), mm("6"), mm("0.15"))->code == "S24-15");
    CHECK_FALSE(catalogue.findShim(mm("24"), mm("6"), mm("0.12")));
    Part coated = shimPart("S24-15-C", "24", "0.15");
    coated.material = "stainless";
    catalogue.add(coated);
    CHECK_THAT(refusalOf([&] { static_cast<void>(catalogue.findShim(mm("24"), mm("6"), mm("0.15"))); }),
               Contains("24.0 x 6.0 x 0.15") && Contains("'S24-15'") && Contains("'S24-15-C'"));
}

TEST_CASE("sizes are spoken in the order of the trade") {
    CHECK(partText(shimPart("S", "24", "0.10")) == "shim 24.0 x 6.0 x 0.10");
    SmallShop small;
    CHECK(partText(PartCatalogue(small.shop).get("SEAL")) == "oil seal 35.0 x 48.0 x 11.0");
    Part ring;
    ring.code = "OR";
    ring.kind = PartKind::oRing;
    ring.id = Length::parseMillimetres("18.64");
    ring.section = Length::parseMillimetres("3.53");
    CHECK(partText(ring) == "O-ring 18.64 x 3.53");
}

TEST_CASE("a part that breaks a rule of its kind is refused with the field and the rule") {
    SmallShop small;
    PartCatalogue catalogue(small.shop);
    struct Bad {
        std::string says;
        std::function<void(Part&)> spoil;
    };
    const auto mm = Length::parseMillimetres;
    const std::vector<Bad> bad{
        {"has no thickness, which a shim must have", [](Part& p) { p.thickness.reset(); }},
        {"has a thickness of 0.00 mm: it must be above 0", [](Part& p) { p.thickness = Length(); }},
        {"has an outer diameter of -24.00 mm", [&](Part& p) { p.od = mm("-24"); }},
        {"not below its outer diameter of 24.0 mm", [&](Part& p) { p.id = mm("24"); }},
        {"which has no length in the catalogue", [&](Part& p) { p.length = mm("3"); }},
        {"has a reorder point below 0", [](Part& p) { p.reorder_point = -1; }},
        {"has a shelf life below 1 month", [](Part& p) { p.shelf_life_months = 0; }},
        {"only fluids, are counted in ml", [](Part& p) { p.unit = QuantityUnit::millilitre; }},
        {"the part code is empty", [](Part& p) { p.code.clear(); }},
        {"begins or ends with a blank", [](Part& p) { p.code = "X "; }},
        {"holds a control character", [](Part& p) { p.code = "X\nY"; }},
        {"longer than 100 bytes", [](Part& p) { p.code = std::string(101, 'x'); }},
        {"is not UTF-8", [](Part& p) { p.code = "X\xff"; }},
        {"note is not UTF-8", [](Part& p) { p.note = "\xc0\xaf"; }},
        {"is in the catalogue already", [](Part& p) { p.code = "S24-10"; }},
    };
    for (const Bad& one : bad) {
        INFO(one.says);
        Part part = shimPart("NEW", "24", "0.30");
        one.spoil(part);
        CHECK_THAT(refusalOf([&] { catalogue.add(part); }), Contains(one.says));
    }
    Part ring;
    ring.code = "SNAP";
    ring.kind = PartKind::snapRing;
    ring.thickness = mm("1.5");
    CHECK_THAT(refusalOf([&] { catalogue.add(ring); }), Contains("neither outer nor inner diameter"));
    CHECK(catalogue.list().size() == 3);
}

TEST_CASE("a part that lies in a drawer changes its words and figures but never its size") {
    SmallShop small;
    small.receive("S24-10", "A1", 1);
    PartCatalogue catalogue(small.shop);
    Part part = catalogue.get("S24-10");
    part.reorder_point = 12;
    part.note = "the good ones";
    catalogue.update(part);
    CHECK(catalogue.get("S24-10") == part);
    part.thickness = Length::parseMillimetres("0.11");
    CHECK_THAT(refusalOf([&] { catalogue.update(part); }), Contains("keeps its kind, unit and sizes"));
    part.code = "NOPE";
    CHECK_THAT(refusalOf([&] { catalogue.update(part); }), Contains("no part 'NOPE'"));
}

TEST_CASE("bins come in walking order and a code is given once") {
    SmallShop small;
    BinList bins(small.shop);
    CHECK(bins.list().front().code == "B1");
    CHECK_THAT(refusalOf([&] { bins.add({"A1", "A", 99, ""}); }), Contains("bin 'A1' is there already"));
    CHECK_THAT(refusalOf([&] { bins.add({"A9", "A", -1, ""}); }), Contains("below 0"));
    bins.update({"A2", "Z", 1, "moved"});
    CHECK(bins.list().front() == Bin{"A2", "Z", 1, "moved"});
    CHECK_THAT(refusalOf([&] { bins.update({"Q1", "", 1, ""}); }), Contains("no bin 'Q1'"));
}

TEST_CASE("suppliers and their offers are kept with exact money") {
    SmallShop small;
    SupplierList suppliers(small.shop);
    const Supplier seals{"Invented Seals", 12, "JPY", 3, 250'000, 1'250, "fax only"};
    suppliers.add(seals);
    CHECK(suppliers.find("Invented Seals") == seals);
    const SupplierPart offer{"Invented Seals", "SEAL", 2, 1'999, "IS-35", CalendarDate::parse("2026-01-31")};
    suppliers.addOffer(offer);
    CHECK(suppliers.offersOfPart("SEAL") == std::vector<SupplierPart>{offer});
    CHECK(suppliers.offers().size() == 1);
    CHECK_THAT(refusalOf([&] { suppliers.addOffer(offer); }), Contains("in packs of 2 already"));
    CHECK_THAT(refusalOf([&] { suppliers.add(seals); }), Contains("is there already"));
    CHECK_THAT(refusalOf([&] { suppliers.add({"X", 1, "euro", {}, {}, {}, ""}); }), Contains("ISO 4217"));
    CHECK_THAT(refusalOf([&] { suppliers.add({"X", -1, "EUR", {}, {}, {}, ""}); }), Contains("lead time"));
    CHECK_THAT(refusalOf([&] {
                   suppliers.addOffer({"X", "SEAL", 1, 1, "", {}});
               }),
               Contains("no supplier 'X'"));
    CHECK_THAT(refusalOf([&] {
                   suppliers.addOffer({"Invented Seals", "SEAL", 0, 1, "", {}});
               }),
               Contains("1 or more"));
}

TEST_CASE("readings of a lot give its mean, least and greatest thickness") {
    SmallShop small;
    small.receive("S24-10", "A1", 4);
    small.receive("S24-10", "A2", 4);
    for (const char* reading : {"0.098", "0.099", "0.101"}) {
        addReading(small.shop,
                   {"S24-10", "A1", Condition::fresh, Length::parseMillimetres(reading), test_time});
    }
    const auto measured = small.lot("S24-10", "A1").measured;
    REQUIRE(measured);
    CHECK(measured->mean.micrometres() == 99); // 99.33
    CHECK(measured->least.micrometres() == 98);
    CHECK(measured->greatest.micrometres() == 101);
    CHECK(measured->readings == 3);
    CHECK(small.lot("S24-10", "A1").on_hand == 4);
    CHECK_FALSE(small.lot("S24-10", "A2").measured);
    CHECK(readingsOfPart(small.shop, "S24-10").size() == 3);
}

TEST_CASE("a reading with a slipped digit is refused") {
    SmallShop small;
    const std::string reading = GENERATE("1.00", "0.010", "0.004", "0");
    CHECK_THAT(refusalOf([&] {
                   addReading(small.shop, {"S24-10", "A1", Condition::fresh,
                                           Length::parseMillimetres(reading), test_time});
               }),
               Contains("cannot be of part 'S24-10', which is 0.10 mm thick"));
    CHECK_THAT(refusalOf([&] {
                   addReading(small.shop,
                              {"SEAL", "A1", Condition::fresh, Length::parseMillimetres("11"), test_time});
               }),
               Contains("has no thickness"));
}

TEST_CASE("component models list their consumables in order") {
    SmallShop small;
    ComponentModels models(small.shop);
    const ComponentModel model{
        "SHOCK", ComponentKind::shock, "invented shock", 1, "", {{"SEAL", 1, "lip out"}, {"S24-10", 2, ""}}};
    models.add(model);
    CHECK(models.find("SHOCK") == model);
    CHECK(models.list().size() == 2);
    CHECK_THAT(refusalOf([&] { models.add(model); }), Contains("is there already"));
    CHECK_THAT(refusalOf([&] { models.addConsumable("SHOCK", {"SEAL", 1, ""}); }), Contains("already"));
    CHECK_THAT(refusalOf([&] { models.addConsumable("SHOCK", {"S24-15", 0, ""}); }), Contains("1 or more"));
    ComponentModel five_legs = model;
    five_legs.code = "SPIDER";
    five_legs.legs = 5;
    CHECK_THAT(refusalOf([&] { models.add(five_legs); }), Contains("give 1 to 4"));
    CHECK_FALSE(models.find("SPIDER"));
}
