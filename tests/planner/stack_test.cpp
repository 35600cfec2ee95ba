// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "planner/stack/stack_json.h"
#include "planner/stack/stack_spec.h"
#include "planner/stack/stack_text.h"
#include "planner/units/input_error.h"
#include "planner/units/length.h"

#include <functional>
#include <string>
#include <tuple>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;

namespace {

ValveGeometry valve() {
    return {Length::fromMillimetres(10),
            Length::fromMillimetres(13),
            Length::fromMillimetres(20),
            Length::fromMillimetres(6),
            {},
            {}};
}

std::string refusal(const std::function<void()>& work) {
    try {
        work();
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

} // namespace

TEST_CASE("lengths are read exactly and written back", "[units]") {
    const std::vector<std::tuple<std::string, std::int64_t, std::string>> good = {
        {"24", 24000, "24.0"},   {"24.0", 24000, "24.0"},
        {" 0.15 ", 150, "0.15"}, {"0.1500", 150, "0.15"},
        {"-0.05", -50, "-0.05"}, {"+1.001", 1001, "1.001"},
        {".5", 500, "0.5"},      {"1000000", 1'000'000'000, "1000000.0"}};
    for (const auto& [text, micrometres, written] : good) {
        INFO(text);
        CHECK(Length::parseMillimetres(text).micrometres() == micrometres);
        CHECK(Length::parseMillimetres(text).text() == written);
    }
    for (const char* bad : {"", " ", ".", "-", "1,5", "0.1005", "1e3", "0x10", "nan", "1000001",
                            "99999999999999999999", "1.2.3", "1 2"}) {
        INFO(bad);
        CHECK_THROWS_AS(Length::parseMillimetres(bad), InputError);
    }
    CHECK(Length::fromMillimetres(0.1).micrometres() == 100);
    CHECK_THROWS_AS(Length::fromMillimetres(0.1005), InputError);
    CHECK(Length::fromMicrometres(100).text(2) == "0.10");
    CHECK(Length::fromMicrometres(148).text(2) == "0.148");
}

TEST_CASE("the trade's notation is read, written and read again", "[stack]") {
    const auto rows =
        parseStackText("4 x 24.0 x 0.10\n14X0.10, 2 \xC3\x97 22 \xC3\x97 0.15; 1 x 22 x 0.20 ring 18");
    REQUIRE(rows.size() == 4);
    CHECK(rows[0].count == 4);
    CHECK(rows[1].count == 1);
    CHECK(rows[1].od.micrometres() == 14000);
    CHECK(rows[3].ring_id->micrometres() == 18000);
    CHECK(parseStackText(stackText(rows)) == rows);
    CHECK(rowText(rows[0]) == "4 x 24.0 x 0.10");
}

TEST_CASE("text that is no stack is refused with the row and what would be right", "[stack]") {
    CHECK(refusal([] { (void)parseStackText(""); }).find("empty") != std::string::npos);
    CHECK(refusal([] { (void)parseStackText("24 x 0.10, four x 24 x 0.10"); }).find("row 2") !=
          std::string::npos);
    CHECK(refusal([] { (void)parseStackText("24 x 0.1005"); }).find("finer than 1 um") != std::string::npos);
    CHECK(refusal([] { (void)parseStackText("24"); }).find("count x OD x thickness") != std::string::npos);
}

TEST_CASE("an impossible disc is named with the rule that it breaks", "[stack]") {
    const auto why = [](const char* text) {
        return refusal([&] { (void)StackSpec(valve(), parseStackText(text)); });
    };
    CHECK(why("24 x 0.10, 9 x 0.10")
              .find("row 2 (1 x 9.0 x 0.10): the OD must not be below the clamp (10.0 mm)") !=
          std::string::npos);
    CHECK(why("24 x 0").find("thickness") != std::string::npos);
    CHECK(why("0 x 24 x 0.10").find("count") != std::string::npos);
    CHECK(why("18 x 0.10").find("cover the ports") != std::string::npos);
    CHECK(why("24 x 0.10, 22 x 0.10 ring 21.9").find("bore") != std::string::npos);
    CHECK(why("24 x 0.10 ring 12").find("face disc must reach the clamp") != std::string::npos);
    CHECK(why("24 x 0.10, 10 x 0.30").empty()); // a clamp shim is no mistake
}

TEST_CASE("a valve that cannot be is refused", "[stack]") {
    const auto why = [](const std::function<void(ValveGeometry&)>& change) {
        ValveGeometry changed = valve();
        change(changed);
        return refusal([&] { (void)StackSpec(changed, parseStackText("24 x 0.10")); });
    };
    CHECK(why([](ValveGeometry& v) { v.preload = Length::fromMillimetres(0.1); }).find("seat") !=
          std::string::npos);
    CHECK(why([](ValveGeometry& v) {
              v.seat_diameter = Length::fromMillimetres(30);
          }).find("seat diameter") != std::string::npos);
    CHECK(why([](ValveGeometry& v) { v.port_outer_diameter = Length::fromMillimetres(9); }) != "");
    CHECK(why([](ValveGeometry& v) { v.clamp_od = Length::fromMillimetres(5); }).find("shim bore") !=
          std::string::npos);
}

TEST_CASE("STACK.json is read, written and read again", "[stack]") {
    const std::string json =
        R"({"valve": {"clamp_od_mm": 10, "port_inner_diameter_mm": 13, "port_outer_diameter_mm": 20,
        "shim_id_mm": 6, "seat_diameter_mm": 20.5, "preload_mm": 0.05},
        "discs": [{"count": 5, "od_mm": 24, "thickness_mm": 0.10}, {"count": 1, "od_mm": 14, "thickness_mm": 0.1}]})";
    const StackSpec stack = parseStackJson(json);
    CHECK(stack.discCount() == 6);
    CHECK(stack.height().micrometres() == 600);
    CHECK(parseStackJson(stackJson(stack)) == stack);
}

TEST_CASE("a disc's own material is read from STACK.json, written and read again", "[stack]") {
    const auto with = [](const std::string& material) {
        return R"({"valve": {"clamp_od_mm": 10, "port_inner_diameter_mm": 13, "port_outer_diameter_mm": 20,
        "shim_id_mm": 6}, "discs": [{"od_mm": 24, "thickness_mm": 0.10, "material": )" +
               material + "}]}";
    };
    const StackSpec stack = parseStackJson(with(
        R"({"name": "spring steel, hard", "elastic_modulus_mpa": 190000, "tensile_strength_mpa": 1900})"));
    const Material& material = stack.rows().front().material;
    CHECK(material.name == "spring steel, hard");
    CHECK(material.elastic_modulus_mpa == 190'000);
    CHECK(material.poisson_ratio == Material{}.poisson_ratio); // what is not said stays as it is elsewhere
    CHECK(material.tensile_strength_mpa == 1'900);
    CHECK(parseStackJson(stackJson(stack)) == stack);
    const auto why = [&](const std::string& odd) {
        return refusal([&] { (void)parseStackJson(with(odd)); });
    };
    CHECK(why(R"({"name": 7})").find("material.name must be text") != std::string::npos);
    CHECK(why(R"({"poisson_ratio": "0.3"})").find("material.poisson_ratio") != std::string::npos);
    CHECK(why(R"({"colour": "blue"})").find("colour") != std::string::npos);
}

TEST_CASE("a STACK.json with a mistake names the field", "[stack]") {
    const std::string valve_json =
        R"("valve": {"clamp_od_mm": 10, "port_inner_diameter_mm": 13, "port_outer_diameter_mm": 20, "shim_id_mm": 6})";
    const auto why = [&](const std::string& json) { return refusal([&] { (void)parseStackJson(json); }); };
    CHECK(why("{").find("not valid JSON") != std::string::npos);
    CHECK(why("{" + valve_json + "}").find("discs") != std::string::npos);
    CHECK(why("{" + valve_json + R"(, "discs": [{"od_mm": 24, "thickness_mm": 0.10, "thikness": 1}]})")
              .find("thikness") != std::string::npos);
    CHECK(why("{" + valve_json + R"(, "discs": [{"od_mm": "24", "thickness_mm": 0.10}]})")
              .find("discs[0].od_mm") != std::string::npos);
    CHECK(why("{" + valve_json + R"(, "discs": [{"od_mm": 24, "thickness_mm": 0.1005}]})")
              .find("finer than 1 um") != std::string::npos);
    CHECK(why("{" + valve_json + R"(, "discs": [{"count": 1.5, "od_mm": 24, "thickness_mm": 0.10}]})")
              .find("count") != std::string::npos);
    CHECK(why(std::string(100, '[') + std::string(100, ']')).find("nested") != std::string::npos);
}

TEST_CASE("a field given twice in a STACK.json is refused, as one of the two would silently not count",
          "[stack]") {
    const std::string valve =
        R"("valve": {"clamp_od_mm": 10, "port_inner_diameter_mm": 13, "port_outer_diameter_mm": 20, "shim_id_mm": 6})";
    const std::string discs = R"("discs": [{"od_mm": 24, "thickness_mm": 0.10}])";
    const auto why = [&](const std::string& json) { return refusal([&] { (void)parseStackJson(json); }); };
    REQUIRE_NOTHROW(parseStackJson("{" + valve + "," + discs + "}"));
    const std::string row = why(
        "{" + valve +
        R"(, "discs": [{"od_mm": 24, "thickness_mm": 0.10}, {"count": 3, "od_mm": 20, "thickness_mm": 0.1, "count": 4}]})");
    CHECK(row.find("'count' twice in row 2") != std::string::npos);
    CHECK(why("{" + valve + "," + discs + "," + discs + "}").find("'discs' twice") != std::string::npos);
    CHECK(why("{" + discs + R"(, "valve": {"clamp_od_mm": 10, "clamp_od_mm": 12}})")
              .find("'clamp_od_mm' twice") != std::string::npos);
    CHECK(
        why("{" + valve + R"(, "discs": [{"material": {"name": "a", "name": "b"}}]})").find("'name' twice") !=
        std::string::npos);
}

TEST_CASE("what is not JSON is told with its line and column, and without words of a library", "[stack]") {
    const auto why = [&](const std::string& json) { return refusal([&] { (void)parseStackJson(json); }); };
    CHECK(why("").find("it is empty") != std::string::npos);
    CHECK(why(" \n\t").find("it is empty") != std::string::npos);
    CHECK(why("{\n  \"valve\": 3").find("ends too early, at line 2, column 12") != std::string::npos);
    CHECK(why("{\n  \"valve\": 3,,\n}").find("line 2, column 14 has a ','") != std::string::npos);
    CHECK(why("{'valve': 3}").find("line 1, column 2 has a") != std::string::npos);
    CHECK(why("{\"valve\": 1e400}").find("out of range") != std::string::npos);
    CHECK(why("\xff\xfe{").find("cannot stand there") != std::string::npos);
    for (const char* text :
         {"{", "[", "nul", "{\"a\" 1}", "{\"a\": .5}", "{\"a\": 01}", "{\"a\": NaN}", "{\"a\": 1e400}",
          "{\"a\": \"\xc3\x28\"}", "{\"a\": \"\\ud800\"}", "// a\n{}", "{} {}", "\xef\xbb\xbf{"}) {
        const std::string sentence = why(text);
        INFO(text << " -> " << sentence);
        CHECK_FALSE(sentence.empty());
        CHECK(sentence.find("json.exception") == std::string::npos);
        CHECK(sentence.find("syntax error") == std::string::npos);
        CHECK(sentence.find('\n') == std::string::npos);
    }
}

TEST_CASE("an unknown field of a STACK.json is told with the one that is near", "[stack]") {
    const auto why = [&](const std::string& json) { return refusal([&] { (void)parseStackJson(json); }); };
    CHECK(why(R"({"disks": []})").find("did you mean 'discs'") != std::string::npos);
    CHECK(why(R"({"colour": []})").find("valve, discs, material") != std::string::npos);
}

TEST_CASE("JSON nested a million deep is refused with a sentence", "[stack]") {
    for (const char* open : {"[", "{\"valve\":"}) {
        std::string deep;
        for (int i = 0; i < 1'000'000; ++i) deep += open;
        CHECK_THROWS_AS(parseStackJson(deep), InputError);
    }
    const std::string whole = std::string(1'000'000, '[') + std::string(1'000'000, ']');
    CHECK_THROWS_AS(parseStackJson(whole), InputError);
}

TEST_CASE("a name of a megabyte, NUL bytes and emoji in a stack's text are refused with a short sentence",
          "[stack]") {
    for (const std::string& text : {std::string(1'000'000, 'x'), std::string("4 x 24\0 x 0.10", 14),
                                    std::string("4 x \xf0\x9f\x94\xa7 x 0.1")}) {
        try {
            static_cast<void>(parseStackText(text));
            FAIL("was taken");
        } catch (const InputError& error) {
            CHECK(std::string(error.what()).size() < 500);
        }
    }
}
