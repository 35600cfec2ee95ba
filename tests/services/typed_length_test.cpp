// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/typed_length.h"

#include "app/services/own_data.h"
#include "app/services/parts_finder.h"
#include "app/services/shim_grid.h"
#include "app/services/strip_sheet.h"
#include "app/services/typed_stack.h"
#include "planner/units/input_error.h"
#include "small_shop.h"

#include <catch2/catch.hpp>

#include <random>

using namespace shimledger;
using namespace shimledger::length_literals;
using namespace shimledger::services;
using Catch::Matchers::Contains;

namespace {

constexpr SizeUnit in_mm = SizeUnit::millimetres, in_inches = SizeUnit::inches;

Length um(std::int64_t micrometres) {
    return Length::fromMicrometres(micrometres);
}

/// The OD and the readings of a row as they were understood.
std::vector<Length> sizesOf(const std::string& row, SizeUnit bare = in_mm) {
    const inventory::StripRow read = parseStripRow(row, bare);
    std::vector<Length> sizes{read.od};
    sizes.insert(sizes.end(), read.readings.begin(), read.readings.end());
    return sizes;
}

std::size_t fieldOf(const OwnDataKind& kind, const std::string& name) {
    for (std::size_t i = 0; i < kind.fields.size(); ++i) {
        if (kind.fields[i].name == name) return i;
    }
    FAIL("no field " << name);
    return 0;
}

const OwnDataKind& kindNamed(const std::vector<OwnDataKind>& kinds, const std::string& name) {
    for (const OwnDataKind& kind : kinds) {
        if (kind.name == name) return kind;
    }
    FAIL("no kind " << name);
    return kinds.front();
}

} // namespace

TEST_CASE("a typed size takes point or comma, and the unit behind it before that of the settings") {
    for (const char* text : {"0.15", "0,15", ".15", ",15", " 0,150 mm", "0.15MM", "150 um", "0,015 cm"}) {
        INFO(text);
        CHECK(typedLength(text).length == um(150));
    }
    for (const char* text : {"0.006 in", "0,006in", "0.006\"", "0.006''", "0.006 inch"}) {
        INFO(text);
        CHECK(typedLength(text).length == um(152));
        CHECK_FALSE(typedLength(text).in_millimetres);
    }
    CHECK(typedLength("0.006", in_inches).length == um(152));
    CHECK(typedLength("0,15 mm", in_inches).length == um(150));
    CHECK(typedLength("1", in_inches).length == um(25'400));
}

TEST_CASE("what may be a thousand, or is no size, is refused with a sentence and never guessed at") {
    for (const char* text : {"1.234,5", "1,234.5", "1,234,5", "0..1", "1 234", "1/2 in", "0.0001", "in", "",
                             "x", "24 pcs", "0,15,0", "--1", "1e3", "24x", "1e9 in", "99999999 in"}) {
        INFO(text);
        CHECK_THROWS_AS(typedLength(text), InputError);
        CHECK_THROWS_AS(typedLength(std::string(text) + (std::string(text).empty() ? "" : " kg"), in_inches),
                        InputError);
    }
    CHECK_THROWS_WITH(typedLength("1.234,5"), Contains("more than one decimal sign"));
}

TEST_CASE("a size comes back from the form that is shown as exactly the same, in both units") {
    std::mt19937 random(20'261'130);
    std::uniform_int_distribution<std::int64_t> any(1, 300'000), fine(1, 1'000);
    for (int i = 0; i < 20'000; ++i) {
        const Length length = um(i % 2 == 0 ? any(random) : fine(random));
        for (const SizeUnit bare : {in_mm, in_inches}) {
            for (std::string shown : {typedForm(length, bare), typedForm(length, bare, 2)}) {
                INFO(shown);
                REQUIRE(typedLength(shown, bare).length == length);
                std::replace(shown.begin(), shown.end(), '.', ',');
                REQUIRE(typedLength(shown, bare).length == length);
                // Under the other setting it is something else, so the sign of the unit settles it.
                const std::string signed_form = shown + std::string(unitSign(bare));
                REQUIRE(typedLength(signed_form, in_mm).length == length);
                REQUIRE(typedLength(signed_form, in_inches).length == length);
            }
        }
    }
    CHECK(typedForm(um(152), in_inches) == "0.006");
    CHECK(typedForm(24_mm, in_inches) == "0.9449");
    CHECK(typedForm(um(100), in_mm, 2) == "0.10");
}

TEST_CASE("a strip row takes decimal commas, inches with and without a blank, and the unit of the settings") {
    const std::vector<Length> right{um(23'900), um(148), um(150)};
    CHECK(sizesOf("4 23,9 0,148 0.150") == right);
    CHECK(sizesOf("4 x 23,9 x 0,148 0,150") == right);
    CHECK(sizesOf("4 23.9mm 0.148 mm 150um") == right);
    CHECK(sizesOf("4x23,9x0,148") == std::vector<Length>{um(23'900), um(148)});
    CHECK(sizesOf("4x24x0.006in") == std::vector<Length>{24_mm, um(152)});
    CHECK(sizesOf("4 24 0.006 in !1 bent in two") == std::vector<Length>{24_mm, um(152)});
    CHECK(sizesOf("4 0,9449 0.006", in_inches) == std::vector<Length>{24_mm, um(152)});
    CHECK(sizesOf("4 24 mm 0.006", in_inches) == std::vector<Length>{24_mm, um(152)});
    CHECK(parseStripRow("2 24 SH-24.0-6-0.10 !1 bent, 0,5 off").part == "SH-24.0-6-0.10");
    CHECK_THROWS_AS(parseStripRow("4 23.9 0,148,0,150"), InputError);
    for (const SizeUnit bare : {in_mm, in_inches}) {
        inventory::StripRow row = parseStripRow("4 23.9 0.148 0.150 SH-24.0-6-0.15 !1 bent");
        CHECK(parseStripRow(stripRowText(row, bare), bare) == row);
    }
}

TEST_CASE("what is measured is looked up in the same way, and one unit behind several sizes is asked about") {
    const std::vector<Length> right{um(23'900), 6_mm, um(148)};
    CHECK(parseMeasured("23,9 x 6 x 0,148").sizes == right);
    CHECK(parseMeasured("23.9mm x 6 mm x 0.148 mm").sizes == right);
    CHECK(parseMeasured("24 x 6 x 0.006in").sizes == std::vector<Length>{24_mm, 6_mm, um(152)});
    CHECK(parseMeasured("oil seal 48,0 59 11").sizes == std::vector<Length>{48_mm, 59_mm, 11_mm});
    CHECK(parseMeasured("0,9449 x 0.2362 x 0.006", in_inches).sizes ==
          std::vector<Length>{24_mm, um(5'999), um(152)});
    CHECK_THROWS_WITH(parseMeasured("0.945 x 0.006 in"), Contains("is 0.945 in millimetres or in inches?"));
    CHECK_THROWS_WITH(parseMeasured("24 x 0.1 mm", in_inches), Contains("Write the unit behind each size"));
}

TEST_CASE("the sides of the grid take commas and units, and ask where a comma may part two sizes") {
    CHECK(readLengths("0,10; 0,15", um(50)) == std::vector<Length>{um(100), um(150)});
    CHECK(readLengths("18,5 24", 1_mm) == std::vector<Length>{um(18'500), 24_mm});
    CHECK(readLengths("10..12 mm", 1_mm, in_inches) == std::vector<Length>{10_mm, 11_mm, 12_mm});
    CHECK(readLengths("0.10..0.20/0.05 mm", 1_mm, in_inches) ==
          std::vector<Length>{um(100), um(150), um(200)});
    CHECK(readLengths("0.004 0.006", 1_mm, in_inches) == std::vector<Length>{um(102), um(152)});
    CHECK(readLengths("24mm 22mm", 1_mm, in_inches) == std::vector<Length>{22_mm, 24_mm});
    for (const char* both : {"24,26", "24,22 20", "10,12"})
        CHECK_THROWS_WITH(readLengths(both, 1_mm), Contains("may be one size or two"));
    CHECK_THROWS_WITH(readLengths("24 22 mm", 1_mm, in_inches), Contains("Write the unit behind each size"));
}

TEST_CASE(
    "a stack that is pasted takes commas, units and cells, and is refused where a comma has two meanings") {
    const std::string right = "4 x 24.0 x 0.10; 1 x 22.5 x 0.15";
    for (const char* text :
         {"4 x 24,0 x 0,10; 1 x 22,5 x 0,15", "4 x 24.0 x 0.10, 22.5 x 0.15", "4x24x0,1\n1x22,5x0,15\n",
          "4\t24,0\t0,10\n1\t22,5\t0,15\n", "4 x 24,0 x 0,10, 1 x 22,5 x 0,15",
          "4 x 24 mm x 0.1 mm; 22.5 x 150um", "4x24x0.1,1x22.5x0.15"}) {
        INFO(text);
        CHECK(stackInMillimetres(text) == right);
    }
    CHECK(stackInMillimetres("4 x 0.9449 x 0.006; 1 x 20mm x 0.15mm ring 14mm", in_inches) ==
          "4 x 24.0 x 0.152; 1 x 20.0 x 0.15 ring 14.0");
    for (const char* text :
         {"4x24,5x22", "24 x 0", "24,0", "", "4 x 24 x 0.1 x 2", "a x 24 x 0.1", "4 x 0.9 x 0.006 in"}) {
        INFO(text);
        CHECK_THROWS_AS(stackInMillimetres(text), InputError);
    }
    CHECK_THROWS_WITH(stackInMillimetres("4x24,5x22"), Contains("two ways"));
}

TEST_CASE("own data is typed and shown in the unit of the settings, and nothing changes by being looked at") {
    SmallShop small;
    for (const SizeUnit bare : {in_mm, in_inches}) {
        const std::vector<OwnDataKind> kinds = ownDataKinds(bare);
        const OwnDataKind& parts = kindNamed(kinds, "parts");
        for (const OwnDataRecord& record : parts.list(small.shop))
            CHECK(parts.change(small.shop, record, record).empty());
    }
    const std::vector<OwnDataKind> kinds = ownDataKinds();
    const OwnDataKind& parts = kindNamed(kinds, "parts");
    OwnDataRecord fresh = parts.blank;
    fresh.texts[fieldOf(parts, "od_mm")] = "23,5";
    fresh.texts[fieldOf(parts, "id_mm")] = "6 mm";
    fresh.texts[fieldOf(parts, "thickness_mm")] = "0.006 in";
    parts.add(small.shop, fresh);
    const inventory::PartCatalogue catalogue(small.shop);
    CHECK(catalogue.findShim(um(23'500), 6_mm, um(152)));
    fresh.texts[fieldOf(parts, "thickness_mm")] = "1.000,5";
    CHECK_THROWS_WITH(parts.add(small.shop, fresh),
                      Contains("thickness") && Contains("more than one decimal sign"));

    const std::vector<OwnDataKind> inches = ownDataKinds(in_inches);
    const OwnDataKind& in = kindNamed(inches, "parts");
    OwnDataRecord other = in.blank;
    other.texts[fieldOf(in, "od_mm")] = "0,9449";
    other.texts[fieldOf(in, "id_mm")] = "6 mm";
    other.texts[fieldOf(in, "thickness_mm")] = "0.0079";
    in.add(small.shop, other);
    CHECK(catalogue.findShim(24_mm, 6_mm, um(201)));
    CHECK_THAT(in.fields[fieldOf(in, "od_mm")].help, Contains("inches"));
}

TEST_CASE("valves of a model take decimal commas and units in both settings, and come back the same") {
    SmallShop small;
    for (const SizeUnit bare : {in_mm, in_inches}) {
        const std::vector<OwnDataKind> kinds = ownDataKinds(bare);
        const OwnDataKind& models = kindNamed(kinds, "component models");
        OwnDataRecord model = models.blank;
        model.texts[fieldOf(models, "model")] = bare == in_mm ? "FORK-MM" : "FORK-IN";
        model.texts[fieldOf(models, "kind")] = "fork";
        model.texts[fieldOf(models, "valves")] =
            bare == in_mm
                ? "base = clamp 10,5, ports 13 to 20 mm, bore 6, seat 20,5, preload 0,10"
                : "base = clamp 10,5mm, ports 13 mm to 0.7874, bore 6mm, seat 20.5 mm, preload 0.1mm";
        models.add(small.shop, model);
        const auto made = inventory::ComponentModels(small.shop).find(model.texts[fieldOf(models, "model")]);
        REQUIRE(made);
        CHECK(inventory::valveText(made->valves.at(0)) ==
              "clamp 10.5, ports 13.0 to 20.0, bore 6.0, seat 20.5, preload 0.10");
        for (const OwnDataRecord& record : models.list(small.shop))
            CHECK(models.change(small.shop, record, record).empty());
        model.texts[fieldOf(models, "model")] = "FORK-BAD";
        model.texts[fieldOf(models, "valves")] = "base = clamp 1.000,5, ports 13 to 20, bore 6";
        CHECK_THROWS_WITH(models.add(small.shop, model), Contains("valve base, clamp"));
    }
}
