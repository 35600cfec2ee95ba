#include "small_shop.h"

#include "app/services/o_ring_fit.h"
#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

#include <cmath>

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
    CHECK(fit.squeeze.nominal == Approx(100 * (3.53 - 2.70) / 3.53));
    CHECK(fit.squeeze.least == Approx(100 * (3.43 - 2.70) / 3.43)); // 21.28, as G59 has it
    CHECK(fit.squeeze.greatest == Approx(100 * (3.63 - 2.70) / 3.63));
    CHECK(fit.fill.nominal == Approx(100 * 3.14159265 / 4 * 3.53 * 3.53 / (2.70 * 4.8)));
    CHECK(fit.thinned_squeeze < fit.squeeze.nominal);
    CHECK(fit.fits());
    CHECK_THAT(fit.squeeze.rule, Contains("G59"));
    CHECK_THAT(fit.verdict, Contains("ISO 3601-1 code 210, 18.64 x 3.53 fits"));
}

TEST_CASE("the squeeze of every published radial gland comes out of the formula, within the rounding of its "
          "inches") {
    int checked = 0;
    for (const GlandRule& rule : glandRules()) {
        if (rule.id != "G59" && rule.id != "G57" && rule.id != "G58" && rule.id != "G61") continue;
        StandardORing plain{"x",          "ISO 3601-1",
                            mm("50"),     Length(),
                            rule.section, mm(rule.id == "G57" ? "0.08" : rule.id == "G61" ? "0.13" : "0.10")};
        Groove groove;
        groove.kind = GrooveKind::rod;
        groove.diameter = mm("51");
        groove.depth = mm(rule.id == "G59"   ? "2.7"
                          : rule.id == "G57" ? "2.0"
                          : rule.id == "G58" ? "3.1"
                                             : "4.3");
        groove.width = mm("8");
        groove.moving = rule.id == "G58";
        const ORingFit fit = judgeORing(plain, groove);
        CHECK(fit.squeeze.least == Approx(rule.least_squeeze).margin(0.01));
        CHECK(fit.squeeze.greatest == Approx(rule.greatest_squeeze).margin(0.01));
        CHECK(fit.judged);
        ++checked;
    }
    CHECK(checked == 4);
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
    CHECK(fit.stretch.allowed_greatest == 2);
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
