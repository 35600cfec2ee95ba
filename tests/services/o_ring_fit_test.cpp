// SPDX-License-Identifier: GPL-3.0-or-later
#include "small_shop.h"

#include "app/services/o_ring_fit.h"
#include "inventory/csv_reader.h"
#include "planner/units/input_error.h"

#include <catch2/catch.hpp>
#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <map>
#include <random>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;

namespace {

StandardORing ring(const std::string& code) {
    return findStandardORing(code).value();
}

/// A published static radial gland of section 3.53: depth 2.70, width 4.8 (rule G59); 210 on a bottom of 19.0
/// mm.
Groove staticPiston() {
    Groove groove;
    groove.diameter = mm("24.4");
    groove.depth = mm("2.70");
    groove.width = mm("4.8");
    return groove;
}

} // namespace

TEST_CASE(
    "stretch, squeeze and fill of a ring are those of the formulas, at nominal and at the tolerances' ends") {
    const ORingFit fit = judgeORing(ring("210"), staticPiston()); // 18.64 +-0.25 x 3.53 +-0.10
    CHECK(fit.stretch.nominal == Approx(100 * (19.0 / 18.64 - 1)));
    // The section of the stretched ring: its volume stays, so d2 / sqrt(1 + s).
    const auto thinned = [](double section, double id) { return section / std::sqrt(19.0 / id); };
    CHECK(fit.squeeze.nominal == Approx(100 * (1 - 2.70 / thinned(3.53, 18.64))));
    CHECK(fit.squeeze.least == Approx(100 * (1 - 2.70 / thinned(3.43, 18.39)))); // thin and stretched most
    CHECK(fit.squeeze.greatest == Approx(100 * (1 - 2.70 / thinned(3.63, 18.89))));
    CHECK(fit.fill.nominal ==
          Approx(100 * 3.14159265 / 4 * std::pow(thinned(3.53, 18.64), 2) / (2.70 * 4.8)));
    CHECK(fit.fill.greatest ==
          Approx(100 * 3.14159265 / 4 * std::pow(thinned(3.63, 18.89), 2) / (2.70 * 4.8)));
    CHECK(fit.fits());
    CHECK_THAT(fit.squeeze.rule, Contains("G59"));
    CHECK_THAT(fit.verdict, Contains("ISO 3601-1 code 210, 18.64 x 3.53 fits"));
}

TEST_CASE("a ring that is loose, slack or too fat for its groove does not fit, and the figures say why") {
    CHECK_THAT(judgeORing(ring("214"), staticPiston()).verdict,
               Contains("does not fit") && Contains("stretch"));
    Groove deep = staticPiston();
    deep.depth = mm("3.4");
    CHECK_THAT(judgeORing(ring("209"), deep).verdict, Contains("squeeze"));
    Groove narrow = staticPiston();
    narrow.width = mm("3.6");
    CHECK_THAT(judgeORing(ring("210"), narrow).verdict, Contains("fill"));
}

TEST_CASE("a groove that seals while moving asks for less squeeze and less stretch than one at rest") {
    Groove moving = staticPiston();
    moving.moving = true;
    const ORingFit fit = judgeORing(ring("210"), moving);
    CHECK_FALSE(fit.squeeze.good); // 20.6 to 26.3 % would bind
    CHECK(fit.squeeze.allowed_greatest < 20);
    CHECK(fit.stretch.nominal_greatest == 2);
}

TEST_CASE("a ring fits only if its least and its greatest figures lie within what is printed as allowed") {
    // 1.9 % of nominal stretch is well within 0 to 5 %, but the thinnest ring on the widest bottom is at 7.2
    // %.
    Groove loose = staticPiston();
    loose.diameter_tolerance = mm("0.35");
    loose.depth_tolerance = mm("0.20");
    ORingFit fit = judgeORing(ring("210"), loose);
    CHECK(fit.stretch.nominal < 2);
    CHECK(fit.stretch.greatest > 5);
    CHECK_FALSE(fit.stretch.good);
    CHECK_FALSE(fit.fits());
    CHECK_THAT(fit.verdict, Contains("does not fit") && Contains("stretch"));
    int fitting = 0;
    for (const StandardORing& one : standardORings()) {
        fit = judgeORing(one, staticPiston());
        for (const FitFigure* figure : {&fit.stretch, &fit.squeeze, &fit.fill}) {
            const auto printed = [](double value) { return std::round(10 * value) / 10; };
            const bool within = printed(figure->least) >= figure->allowed_least - 1e-9 &&
                                printed(figure->greatest) <= figure->allowed_greatest + 1e-9;
            INFO(fit.verdict);
            if (figure != &fit.squeeze || fit.judged) CHECK(figure->good == within);
            if (fit.fits()) CHECK(within);
        }
        fitting += fit.fits() ? 1 : 0;
    }
    CHECK(fitting >= 1);
}

TEST_CASE("least and greatest are those of thousands of rings and grooves drawn within their tolerances") {
    std::mt19937 random(7);
    for (const char* code : {"006", "116", "210", "325", "P18", "G25"}) {
        const StandardORing one = ring(code);
        Groove groove;
        groove.depth = Length::fromMicrometres(one.section.micrometres() * 4 / 5);
        groove.diameter = Length::fromMicrometres(one.id.micrometres() * 102 / 100) + 2 * groove.depth;
        groove.width = Length::fromMicrometres(one.section.micrometres() * 13 / 10);
        groove.depth_tolerance = mm("0.03");
        groove.diameter_tolerance = mm("0.05");
        const ORingFit fit = judgeORing(one, groove);
        double least = 1e9, greatest = -1e9;
        std::uniform_int_distribution<int> end(-1, 1);
        for (int draw = 0; draw < 4000; ++draw) {
            const auto within = [&](Length size, Length tolerance) {
                return size.millimetres() + end(random) * tolerance.millimetres();
            };
            const double depth = within(groove.depth, groove.depth_tolerance);
            const double seat = within(groove.diameter, groove.diameter_tolerance) - 2 * depth;
            const double stretched = std::max(1.0, seat / within(one.id, one.id_tolerance));
            const double section = within(one.section, one.section_tolerance) / std::sqrt(stretched);
            least = std::min(least, 100 * (section - depth) / section);
            greatest = std::max(greatest, 100 * (section - depth) / section);
        }
        CHECK(fit.squeeze.least == Approx(least));
        CHECK(fit.squeeze.greatest == Approx(greatest));
    }
}

TEST_CASE(
    "every published radial gland has its published squeeze on an unstretched ring, and takes a ring that "
    "is stretched a little") {
    // o_ring_gland_rules.csv, rows of radial glands; depths and widths are not part of the compiled list.
    std::ifstream rules(SHIMLEDGER_SEED_CATALOG "/o_ring_gland_rules.csv");
    inventory::CsvReader reader(rules);
    inventory::CsvRecord record;
    REQUIRE(reader.next(record));
    std::map<std::string, std::size_t> column;
    for (std::size_t i = 0; i < record.cells.size(); ++i) column[record.cells[i]] = i;
    int checked = 0, fitting = 0;
    while (reader.next(record)) {
        const auto text = [&](const char* name) { return record.cells.at(column.at(name)); };
        const std::string use = text("application");
        const bool moving = use.starts_with("dynamic");
        if (!moving && !use.starts_with("static radial")) continue;
        const double unit = text("unit") == "in" ? 25.4 : 1;
        const auto um = [&](const char* name) { return std::llround(std::stod(text(name)) * unit * 1000); };
        Groove groove;
        groove.kind = GrooveKind::rod;
        groove.diameter = mm("50");
        groove.depth = Length::fromMicrometres((um("depth_min") + um("depth_max")) / 2);
        groove.depth_tolerance = Length::fromMicrometres((um("depth_max") - um("depth_min") + 1) / 2);
        groove.width = Length::fromMicrometres(um("width_no_backup_min"));
        groove.moving = moving;
        StandardORing plain{"x",
                            "ISO 3601-1",
                            mm("50"),
                            Length(),
                            Length::fromMicrometres(um("cs")),
                            Length::fromMicrometres(um("cs_tol"))};
        const ORingFit fit = judgeORing(plain, groove);
        INFO(text("rule_id") << " " << fit.verdict); // the margin: inches are read to the nearest um
        CHECK(fit.squeeze.least == Approx(std::stod(text("squeeze_pct_min_recomputed"))).margin(0.15));
        CHECK(fit.squeeze.greatest == Approx(std::stod(text("squeeze_pct_max_recomputed"))).margin(0.15));
        plain.id = mm("49.5"); // 1 % of stretch takes 0.4 points of squeeze at most
        plain.id_tolerance = mm("0.3");
        const ORingFit stretched = judgeORing(plain, groove);
        INFO(stretched.verdict);
        CHECK(stretched.squeeze.least < fit.squeeze.least);
        CHECK(stretched.fits());
        ++checked;
        fitting += stretched.fits() ? 1 : 0;
    }
    CHECK(checked == 36);
    CHECK(fitting == checked);
}

TEST_CASE("a plain no names the ring that misses by least, and by what") {
    SmallShop small;
    Groove groove = staticPiston();
    groove.width = mm("3.9"); // too narrow for anything of that section
    const ORingAnswer answer = ringsForGroove(small.shop, groove, "");
    REQUIRE(answer.choices.empty());
    REQUIRE(answer.nearest_miss);
    CHECK_THAT(answer.verdict, Contains("No: no size") && Contains("nearest") &&
                                   Contains(answer.nearest_miss->ring.text()) && Contains("allowed"));
    for (const StandardORing& one : standardORings()) {
        const ORingFit fit = judgeORing(one, groove);
        CHECK_FALSE(fit.fits());
        if (fit.judged) CHECK(fit.miss() >= answer.nearest_miss->miss());
    }
    CHECK_FALSE(ringsForGroove(small.shop, staticPiston(), "").nearest_miss);
}

TEST_CASE("what is told of a ring names no file of the program") {
    for (const char* code : {"210", "214", "P18"}) {
        const ORingFit fit = judgeORing(ring(code), staticPiston());
        for (const std::string& text : {fit.verdict, fit.stretch.rule, fit.squeeze.rule, fit.fill.rule}) {
            CHECK_THAT(text, !Contains(".cpp") && !Contains(".csv"));
        }
    }
}

TEST_CASE("in a housing the ring is stretched over the rod") {
    Groove groove;
    groove.kind = GrooveKind::rod;
    groove.diameter = mm("19");
    groove.depth = mm("2.70");
    groove.width = mm("4.8");
    CHECK(judgeORing(ring("210"), groove).stretch.nominal == Approx(100 * (19 / 18.64 - 1)));
}

TEST_CASE("a section that no rule covers is told so, and nothing is promised") {
    StandardORing odd = ring("210");
    odd.section = mm("4.5");
    Groove groove = staticPiston();
    groove.depth = mm("3.5");
    const ORingFit fit = judgeORing(odd, groove);
    CHECK_FALSE(fit.judged);
    CHECK_FALSE(fit.fits());
    CHECK_THAT(fit.verdict, Contains("nothing is promised"));
}

TEST_CASE("when a size is out of stock the nearest that fits and is on hand is named, else a plain no") {
    SmallShop small;
    inventory::Part part;
    part.code = "OR-P18";
    part.kind = inventory::PartKind::oRing;
    part.size_code = "210";
    part.id = mm("18.64");
    part.section = mm("3.53");
    part.material = "NBR";
    part.hardness = "70";
    inventory::PartCatalogue(small.shop).add(part);
    ORingAnswer answer = ringsForGroove(small.shop, staticPiston(), "209");
    REQUIRE(answer.wanted);
    CHECK(answer.wanted->ring.code == "209");
    REQUIRE(!answer.choices.empty());
    CHECK(answer.choices[0].part.empty());
    CHECK_THAT(answer.verdict, Contains("None that fits is in stock"));
    small.receive("OR-P18", "B1", 2);
    answer = ringsForGroove(small.shop, staticPiston(), "209");
    CHECK(answer.choices[0].part == "OR-P18");
    CHECK(answer.choices[0].available == 2);
    CHECK_THAT(answer.verdict, Contains("In stock: OR-P18"));
    CHECK_THAT(answer.caution, Contains("ask its maker"));
    for (const ORingChoice& choice : answer.choices) CHECK(choice.fit.fits());

    Groove hopeless = staticPiston();
    hopeless.depth = mm("0.2");
    CHECK_THAT(ringsForGroove(small.shop, hopeless, "").verdict, Contains("No: no size"));
    CHECK_THROWS_WITH(ringsForGroove(small.shop, staticPiston(), "p18"), Contains("did you mean 'P18'"));
}

TEST_CASE("a groove that cannot be is refused") {
    SmallShop small;
    Groove groove = staticPiston();
    groove.width = Length();
    CHECK_THROWS_AS(judgeORing(ring("210"), groove), InputError);
    groove = staticPiston();
    groove.depth = mm("13");
    CHECK_THROWS_AS(judgeORing(ring("210"), groove), InputError);
    groove = staticPiston();
    groove.depth_tolerance = mm("3");
    CHECK_THROWS_AS(judgeORing(ring("210"), groove), InputError);
    CHECK_THROWS_AS(ringsForGroove(small.shop, staticPiston(), "XYZ"), InputError);
}

TEST_CASE("no figure that is printed within its limits is the reason of a no") {
    int noes = 0;
    const auto shown = [](double value) { return std::stod(fmt::format("{:.1f}", value)); };
    for (int depth = 150; depth < 320; depth += 7) {
        for (int rod = 2000; rod < 3000; rod += 37) {
            Groove groove;
            groove.kind = GrooveKind::rod;
            groove.diameter = Length::fromMicrometres(10 * rod);
            groove.depth = Length::fromMicrometres(10 * depth);
            groove.width = Length::fromMicrometres(3200);
            for (const StandardORing& one : standardORings()) {
                const ORingFit fit = judgeORing(one, groove);
                for (const FitFigure* figure : {&fit.stretch, &fit.fill}) {
                    const bool within = shown(figure->least) >= figure->allowed_least &&
                                        shown(figure->greatest) <= figure->allowed_greatest;
                    if (figure->good == within) continue;
                    FAIL(fit.verdict);
                }
                noes += fit.judged && !fit.fits();
                if (fit.verdict.find("-0.0 ") != std::string::npos) FAIL(fit.verdict);
            }
        }
    }
    CHECK(noes > 1000);
}
