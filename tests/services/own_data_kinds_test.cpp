// SPDX-License-Identifier: GPL-3.0-or-later
// What a shop says of itself, as a form shows it: made, changed, retired, with what stood there before.
#include "small_shop.h"

#include "app/services/own_data.h"
#include "inventory/bin.h"
#include "inventory/component_model.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "inventory/supplier.h"
#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;

namespace {

OwnDataKind kindCalled(const std::string& name) {
    for (OwnDataKind& kind : ownDataKinds()) {
        if (kind.name == name) return kind;
    }
    throw std::runtime_error("no such kind");
}

std::size_t placeOf(const OwnDataKind& kind, const std::string& field) {
    for (std::size_t i = 0; i < kind.fields.size(); ++i) {
        if (kind.fields[i].name == field) return i;
    }
    throw std::runtime_error("no field " + field);
}

/// A form filled in: what is not named is as a new one begins.
OwnDataRecord filled(const OwnDataKind& kind, const std::map<std::string, std::string>& texts) {
    OwnDataRecord record = kind.blank;
    for (const auto& [field, text] : texts) record.texts[placeOf(kind, field)] = text;
    return record;
}

OwnDataRecord recordOf(const OwnDataKind& kind, inventory::ShopFile& shop, const std::string& code) {
    for (const OwnDataRecord& record : kind.list(shop)) {
        if (record.texts.front() == code) return record;
    }
    throw std::runtime_error("no record " + code);
}

} // namespace

TEST_CASE("whatever lies in a shop goes through its form unchanged") {
    SmallShop small;
    for (const OwnDataKind& kind : ownDataKinds()) {
        INFO(kind.name);
        for (const OwnDataRecord& record : kind.list(small.shop)) {
            REQUIRE(record.texts.size() == kind.fields.size());
            INFO(record.texts.front());
            CHECK(kind.change(small.shop, record, record).empty());
            CHECK(kind.again(small.shop, record).texts == record.texts);
        }
    }
}

TEST_CASE("a part is made, its reorder point changed, and history says what stood there before") {
    SmallShop small;
    const OwnDataKind kind = kindCalled("parts");
    const std::string made = kind.add(small.shop, filled(kind, {{"kind", "shim"},
                                                                {"od_mm", "21"},
                                                                {"id_mm", "6"},
                                                                {"thickness_mm", "0.10"},
                                                                {"reorder_point", "6"}}));
    CHECK_THAT(made, Contains("SH-21.0-6-0.10"));
    const OwnDataRecord seen = recordOf(kind, small.shop, "SH-21.0-6-0.10");
    OwnDataRecord now = seen;
    now.texts[placeOf(kind, "reorder_point")] = "12";
    const auto sentences = kind.change(small.shop, seen, now);
    REQUIRE(sentences.size() == 1);
    CHECK_THAT(sentences.front(), Contains("12") && Contains("6"));
    CHECK(kind.history(small.shop, now).size() == 1);
    // Somebody else was faster: what they wrote is not written over.
    OwnDataRecord other = seen;
    other.texts[placeOf(kind, "reorder_point")] = "20";
    CHECK_THROWS_AS(kind.change(small.shop, seen, other), InputError);
    CHECK(inventory::PartCatalogue(small.shop).get("SH-21.0-6-0.10").reorder_point == 12);
}

TEST_CASE("an O-ring of a standard needs its size code alone") {
    SmallShop small;
    const OwnDataKind kind = kindCalled("parts");
    kind.add(small.shop, filled(kind, {{"part", "RING"}, {"kind", "o_ring"}, {"size_code", "210"}}));
    const inventory::Part ring = inventory::PartCatalogue(small.shop).get("RING");
    REQUIRE(ring.section);
    CHECK(ring.section->text(2) == "3.53"); // AS568: series 2xx has 3.53 mm
    CHECK_THROWS_WITH(kind.add(small.shop, filled(kind, {{"kind", "o_ring"}, {"size_code", "9999"}})),
                      Contains("9999"));
}

TEST_CASE("sizes that the kind of part has are shown, others are not") {
    const OwnDataKind kind = kindCalled("parts");
    const auto shown = [&](const char* of, const char* field) -> bool {
        return kind.shown(filled(kind, {{"kind", of}}))[placeOf(kind, field)];
    };
    CHECK(shown("shim", "thickness_mm"));
    CHECK_FALSE(shown("shim", "section_mm"));
    CHECK(shown("o_ring", "section_mm"));
    CHECK_FALSE(shown("o_ring", "thickness_mm"));
    CHECK(shown("oil_seal", "length_mm"));
}

TEST_CASE("a series of drawers is made at once, and none of it where one is there already") {
    SmallShop small;
    const OwnDataKind kind = kindCalled("drawers");
    const std::size_t before = inventory::BinList(small.shop).list().size();
    CHECK_THAT(kind.add(small.shop, filled(kind, {{"bin", "C01..C52"}, {"cabinet", "C"}})), Contains("52"));
    CHECK(inventory::BinList(small.shop).list().size() == before + 52);
    CHECK_THROWS_AS(kind.add(small.shop, filled(kind, {{"bin", "C52..C60"}, {"cabinet", "C"}})), InputError);
    CHECK(inventory::BinList(small.shop).list().size() == before + 52);
    const OwnDataRecord bin = recordOf(kind, small.shop, "C07");
    CHECK_THAT(kind.retire(small.shop, bin, true), Contains("C07"));
    CHECK(kind.list(small.shop).back().texts.front() == "C07");
    CHECK(kind.list(small.shop).back().retired);
    kind.retire(small.shop, kind.again(small.shop, bin), false);
    CHECK_FALSE(recordOf(kind, small.shop, "C07").retired);
}

TEST_CASE("a supplier, its offer with price breaks, and a new price with its day") {
    SmallShop small;
    const OwnDataKind suppliers = kindCalled("suppliers");
    suppliers.add(small.shop, filled(suppliers, {{"supplier", "New Metal (invented)"},
                                                 {"lead_time_days", "5"},
                                                 {"currency", "EUR"}}));
    const OwnDataKind offers = kindCalled("offers");
    const std::string part = shimCode("24", "0.12");
    offers.add(small.shop, filled(offers, {{"supplier", "New Metal (invented)"},
                                           {"part", part},
                                           {"pack_size", "10"},
                                           {"pack_price", "9.50"},
                                           {"price_breaks", "5 = 9.00\n\n10=8.00"}}));
    const inventory::SupplierPart offer =
        inventory::SupplierList(small.shop).getOffer("New Metal (invented)", part, 10);
    CHECK(offer.breaks.size() == 2);
    CHECK(offer.priced_on.has_value());
    const OwnDataRecord seen = recordOf(offers, small.shop, "New Metal (invented)");
    OwnDataRecord now = seen;
    now.texts[placeOf(offers, "pack_price")] = "10.50";
    CHECK_FALSE(offers.change(small.shop, seen, now).empty());
    CHECK(inventory::SupplierList(small.shop).getOffer("New Metal (invented)", part, 10).pack_price == 1050);
    for (const char* wrong : {"5", "five = 3", "5 = free", "5 = 99.00"}) {
        INFO(wrong);
        OwnDataRecord bad = recordOf(offers, small.shop, "New Metal (invented)");
        const OwnDataRecord good = bad;
        bad.texts[placeOf(offers, "price_breaks")] = wrong;
        CHECK_THROWS_AS(offers.change(small.shop, good, bad), InputError);
    }
}

TEST_CASE("a component model with wear parts and valves is made from what is written in lines") {
    SmallShop small;
    const OwnDataKind kind = kindCalled("component models");
    kind.add(small.shop, filled(kind, {{"model", "FORK-NEW"},
                                       {"kind", "fork"},
                                       {"legs", "2"},
                                       {"wear_parts", "SEAL = 2, lips greased"},
                                       {"valves", "base = clamp 10, ports 13 to 20, bore 6\nmid = clamp 9.5, "
                                                  "ports 12 to 18, bore 6, seat 18.5, preload 0.10"}}));
    const inventory::ComponentModel model = inventory::ComponentModels(small.shop).get("FORK-NEW");
    REQUIRE(model.valves.size() == 2);
    const OwnDataRecord record = recordOf(kind, small.shop, "FORK-NEW");
    CHECK(kind.change(small.shop, record, record).empty());
    for (const char* wrong :
         {"base", "base = clamp 10", "base = clamp ten, ports 13 to 20, bore 6",
          "base = clamp 10, ports 13 - 20, bore 6", "base = clamp 10, ports 13 to 20, bore 6, colour red"}) {
        INFO(wrong);
        OwnDataRecord bad = record;
        bad.texts[placeOf(kind, "valves")] = wrong;
        CHECK_THROWS_AS(kind.change(small.shop, record, bad), InputError);
    }
    CHECK(inventory::ComponentModels(small.shop).get("FORK-NEW").valves.size() == 2);
}

TEST_CASE(
    "the flow of a model's valve is written down figure by figure, and what is wrong of it is one sentence") {
    SmallShop small;
    const OwnDataKind models = kindCalled("component models");
    models.add(small.shop, filled(models, {{"model", "FORK-NEW"},
                                           {"legs", "2"},
                                           {"valves", "base = clamp 10, ports 13 to 20, bore 6"}}));
    const OwnDataKind kind = kindCalled("valves' flows");
    const OwnDataRecord blank = recordOf(kind, small.shop, "FORK-NEW");
    OwnDataRecord record = blank;
    record.texts[placeOf(kind, "shaft_mm")] = "12";
    record.texts[placeOf(kind, "adjuster")] = "0=0 4=0.8";
    record.texts[placeOf(kind, "stroke")] = "compression";
    record.texts[placeOf(kind, "backing_mpa")] = "0,25"; // a decimal comma
    const auto sentences = kind.change(small.shop, blank, record);
    REQUIRE(sentences.size() == 4);
    CHECK(recordOf(kind, small.shop, "FORK-NEW").texts[placeOf(kind, "backing_mpa")] == "0.25");
    CHECK(sentences[1] ==
          "The shaft diameter of valve 'base' of model FORK-NEW became 12.0 mm; there was none before.");
    CHECK(kind.history(small.shop, record).size() == 4);
    CHECK(kind.change(small.shop, recordOf(kind, small.shop, "FORK-NEW"),
                      recordOf(kind, small.shop, "FORK-NEW"))
              .empty());
    CHECK_THROWS_WITH(kind.change(small.shop, blank, record), Contains("somebody else"));
    OwnDataRecord bad = recordOf(kind, small.shop, "FORK-NEW");
    const OwnDataRecord good = bad;
    bad.texts[placeOf(kind, "click")] = "5";
    CHECK_THROWS_WITH(kind.change(small.shop, good, bad), Contains("is not on the adjuster"));
    CHECK_THROWS_WITH(
        kind.add(small.shop, filled(kind, {{"model", "FORK-NEW"}, {"valve", "mid"}, {"shaft_mm", "12"}})),
        Contains("has no valve 'mid'"));
    CHECK_THROWS_WITH(kind.add(small.shop, record), Contains("is there already"));
}

TEST_CASE("what is wrong in a form is one sentence that names the field, and nothing is made") {
    SmallShop small;
    const OwnDataKind kind = kindCalled("parts");
    const std::size_t before = kind.list(small.shop).size();
    const std::pair<std::map<std::string, std::string>, const char*> wrong[] = {
        {{{"kind", "shim"}, {"od_mm", "wide"}, {"id_mm", "6"}, {"thickness_mm", "0.1"}}, "outer diameter"},
        {{{"kind", "shim"}, {"od_mm", "24"}, {"id_mm", "6"}}, "thickness"},
        {{{"kind", "shim"}, {"od_mm", "5"}, {"id_mm", "6"}, {"thickness_mm", "0.1"}}, "5.0"},
        {{{"kind", "shim"},
          {"od_mm", "24"},
          {"id_mm", "6"},
          {"thickness_mm", "0.1"},
          {"reorder_point", "-3"}},
         "reorder point"},
        {{{"kind", "shim"},
          {"od_mm", "24"},
          {"id_mm", "6"},
          {"thickness_mm", "0.1"},
          {"shelf_life_months", "0"}},
         "shelf life"},
        {{{"kind", "shim"}, {"od_mm", "24"}, {"id_mm", "6"}, {"thickness_mm", "0.1"}, {"part", "a\tb"}}, ""}};
    for (const auto& [texts, sentence] : wrong) {
        CHECK_THROWS_WITH(kind.add(small.shop, filled(kind, texts)), Contains(sentence));
        CHECK(kind.list(small.shop).size() == before);
    }
}

TEST_CASE("a note with blanks at its ends and breaks in it stays as it is when something else is changed") {
    SmallShop small;
    inventory::PartCatalogue catalogue(small.shop);
    inventory::Part part = catalogue.get(shimCode("24", "0.12"));
    part.note = "  first\nsecond \t\xc2\xa0";
    static_cast<void>(catalogue.update(part));
    const OwnDataKind kind = kindCalled("parts");
    const OwnDataRecord seen = recordOf(kind, small.shop, part.code);
    OwnDataRecord now = seen;
    now.texts[placeOf(kind, "reorder_point")] = " 8 ";
    CHECK(kind.change(small.shop, seen, now).size() == 1);
    CHECK(catalogue.get(part.code).note == part.note);
    CHECK(catalogue.get(part.code).reorder_point == 8);
}

TEST_CASE("a part made in any way is named and described alike") {
    SmallShop small;
    inventory::Part part;
    part.kind = inventory::PartKind::shim;
    part.od = Length::fromMicrometres(21'000);
    part.id = Length::fromMicrometres(6'000);
    part.thickness = Length::fromMicrometres(100);
    CHECK(addPart(small.shop, part) == "SH-21.0-6-0.10");
    CHECK(inventory::PartCatalogue(small.shop).get("SH-21.0-6-0.10").description ==
          inventory::partText(part));
    inventory::Part other;
    CHECK_THROWS_WITH(addPart(small.shop, other), Contains("give it a code"));
}
