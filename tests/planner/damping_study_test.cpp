// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/damping/damping_fit.h"
#include "planner/damping/damping_study.h"
#include "planner/stack/needle_adjuster.h"
#include "planner/stack/stack_text.h"
#include "planner/units/input_error.h"
#include "tests/planner/random_stacks.h"
#include "tests/planner/usual_valve.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <string>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;

namespace {

const char* const target_text = "4 x 24 x 0.10, 1 x 14 x 0.10, 1 x 22 x 0.15, 1 x 18 x 0.15, 1 x 14 x 0.2";
const char* const stiffer_text = "3 x 24 x 0.12, 1 x 14 x 0.10, 1 x 22 x 0.15, 1 x 18 x 0.15, 1 x 14 x 0.2";

ValveFlow usualFlow() {
    ValveFlow flow;
    flow.swept_area_mm2 = flow.force_area_mm2 = 300;
    flow.port_area_mm2 = 40;
    flow.bleed_diameter_mm = 1.2;
    flow.oil = {850, 15, 3.5};
    return flow;
}

const std::vector<double> speeds{0.02, 0.1, 0.3, 0.8};

bool says(const std::vector<std::string>& sentences, const char* part) {
    return std::any_of(sentences.begin(), sentences.end(),
                       [&](const std::string& sentence) { return sentence.find(part) != std::string::npos; });
}

} // namespace

TEST_CASE(
    "no draw of what a shop cannot measure takes the ratio out of its band, and draws come near its ends",
    "[damping]") {
    for (const double bleed : {0.0, 1.2, 2.5}) {
        INFO("bleed " << bleed);
        ValveFlow flow = usualFlow();
        flow.bleed_diameter_mm = bleed;
        const DampedStack substitute{test::inUsualValve(stiffer_text), flow},
            target{test::inUsualValve(target_text), flow};
        const DampingStudy a = studyDamping(substitute, speeds), b = studyDamping(target, speeds);
        const DampingComparison compared = compareDamping(substitute, a, target, b);
        REQUIRE(compared.points.size() == speeds.size());
        std::vector<FigureRange> drawn(speeds.size(), {1e9, 0});
        std::mt19937 random(20261129);
        const auto within = [&](const FigureRange& range) {
            return std::uniform_real_distribution(range.least, range.greatest)(random);
        };
        for (int i = 0; i < 1500; ++i) {
            const FlowVariation variation{within(published_discharges), within(published_discharges),
                                          within(published_discharges), within(published_viscosity_parts),
                                          within(working_temperatures_c)};
            const ValveFlow anywhere = varied(flow, variation);
            const DampingValve here(anywhere, *a.opening.curve), there(anywhere, *b.opening.curve);
            for (std::size_t k = 0; k < speeds.size(); ++k) {
                const double ratio =
                    here.atSpeed(speeds[k]).value().force_n / there.atSpeed(speeds[k]).value().force_n;
                drawn[k].least = std::min(drawn[k].least, ratio);
                drawn[k].greatest = std::max(drawn[k].greatest, ratio);
            }
        }
        for (std::size_t k = 0; k < speeds.size(); ++k) {
            INFO(speeds[k] << " m/s");
            const FigureRange& band = compared.points[k].band;
            const double width = band.greatest - band.least;
            CHECK(drawn[k].least >= band.least - 0.02 * width - 1e-6);
            CHECK(drawn[k].greatest <= band.greatest + 0.02 * width + 1e-6);
            CHECK(drawn[k].greatest - drawn[k].least >= 0.5 * width);
            CHECK(compared.points[k].force_ratio >= band.least);
            CHECK(compared.points[k].force_ratio <= band.greatest);
            CHECK(width < 0.1); // what cannot be measured stays out of the ratio as far as it can ...
            const FigureRange& newtons = a.force_band_n[k];
            CHECK(newtons.greatest / newtons.least > 1.15); // ... and not out of the newtons
        }
    }
}

TEST_CASE("a stiffer stack is less so in force: a part at the bleed, a part at the ports", "[damping]") {
    const DampedStack substitute{test::inUsualValve(stiffer_text), usualFlow()},
        target{test::inUsualValve(target_text), usualFlow()};
    const DampingStudy a = studyDamping(substitute, speeds), b = studyDamping(target, speeds);
    for (const RatioPoint& point : compareDamping(substitute, a, target, b).points) {
        INFO(point.speed_m_s << " m/s");
        REQUIRE(point.stack_ratio.has_value());
        CHECK(*point.stack_ratio > 1.05);
        CHECK(point.force_ratio > 1);
        CHECK(point.force_ratio < *point.stack_ratio);
    }
    const DampingComparison same = compareDamping(target, b, target, b);
    for (const RatioPoint& point : same.points) {
        CHECK(point.force_ratio == 1);
        CHECK(point.stack_ratio.value() == Approx(1).epsilon(1e-9));
        CHECK(point.band.least == 1);
        CHECK(point.band.greatest == 1);
    }
}

TEST_CASE("heat takes force, most at low speed, and the ratio hardly moves", "[damping]") {
    const DampedStack substitute{test::inUsualValve(stiffer_text), usualFlow()},
        target{test::inUsualValve(target_text), usualFlow()};
    const DampingStudy a = studyDamping(substitute, speeds), b = studyDamping(target, speeds);
    REQUIRE(b.forces_by_temperature.size() == told_temperatures_c.size());
    for (std::size_t t = 1; t < told_temperatures_c.size(); ++t) {
        for (std::size_t i = 0; i < speeds.size(); ++i)
            CHECK(b.forces_by_temperature[t][i] < b.forces_by_temperature[t - 1][i]);
    }
    const auto lost = [&](std::size_t i) {
        return 1 - b.forces_by_temperature.back()[i] / b.forces_by_temperature.front()[i];
    };
    CHECK(lost(0) > lost(3));
    CHECK(b.forces_by_temperature[2][1] == Approx(b.points[1].force_n)); // 40 C is the valve's own
    const DampingComparison compared = compareDamping(substitute, a, target, b);
    for (const std::vector<double>& ratios : compared.ratios_by_temperature) {
        REQUIRE(ratios.size() == speeds.size());
        for (std::size_t i = 0; i < speeds.size(); ++i) {
            CHECK(ratios[i] >= compared.points[i].band.least);
            CHECK(ratios[i] <= compared.points[i].band.greatest);
        }
    }
}

TEST_CASE("a stiffer substitute is the target again with some clicks further out", "[damping]") {
    ValveFlow flow = usualFlow();
    for (int click = 0; click <= 20; ++click) flow.clicks.push_back({click, 0.6 + 0.05 * click});
    flow.click = 8;
    flow.bleed_diameter_mm = bleedDiameterAt(flow.clicks, 8);
    const DampedStack substitute{test::inUsualValve(stiffer_text), flow},
        target{test::inUsualValve(target_text), flow};
    const DampingStudy a = studyDamping(substitute, speeds), b = studyDamping(target, speeds);
    const auto clicks = compareDamping(substitute, a, target, b).clicks;
    REQUIRE(clicks.has_value());
    CHECK(clicks->other_click == 8);
    CHECK(clicks->click > 8);
    CHECK(clicks->one_click_out < 1);
    CHECK_FALSE(clicks->at_end);
    CHECK(std::abs(clicks->ratio - 1) < std::abs(clicks->ratio_at_same_click - 1));
    // Set to that click it has that force, and none of its neighbours comes closer.
    const auto forceAt = [&](int click) {
        ValveFlow set = flow;
        set.bleed_diameter_mm = bleedDiameterAt(flow.clicks, click);
        return DampingValve(set, *a.opening.curve).atSpeed(0.1).value().force_n;
    };
    const double wanted = DampingValve(flow, *b.opening.curve).atSpeed(0.1).value().force_n;
    CHECK(forceAt(clicks->click) / wanted == Approx(clicks->ratio));
    for (const int beside : {clicks->click - 1, clicks->click + 1})
        CHECK(std::abs(std::log(forceAt(beside) / wanted)) >= std::abs(std::log(clicks->ratio)));
    // The other way round it is clicks in; and where the adjuster ends, that is said.
    CHECK(compareDamping(target, b, substitute, a).clicks->click < 8);
    ValveFlow short_of = flow;
    short_of.clicks.resize(9);
    const DampedStack ends{test::inUsualValve(stiffer_text), short_of};
    const auto at_end = compareDamping(ends, studyDamping(ends, speeds), target, b).clicks;
    REQUIRE(at_end.has_value());
    CHECK(at_end->click == 8);
    CHECK(at_end->at_end);
}

TEST_CASE("the chamber behind runs empty from the speed at which the drop is what stands behind it",
          "[damping]") {
    ValveFlow flow = usualFlow();
    flow.backing_pressure_mpa = 0.3;
    const DampedStack damped{test::inUsualValve(target_text), flow};
    const DampingStudy study = studyDamping(damped, speeds);
    REQUIRE(study.cavitation_speed_m_s.has_value());
    CHECK(DampingValve(flow, *study.opening.curve).atSpeed(*study.cavitation_speed_m_s).value().drop_mpa ==
          Approx(0.3));
    flow.backing_pressure_mpa = 10;
    CHECK_FALSE(
        studyDamping({test::inUsualValve(target_text), flow}, speeds).cavitation_speed_m_s.has_value());
}

TEST_CASE("a needle opens by the frustum between its cone and the seat, and never more than the seat",
          "[damping]") {
    const NeedleAdjuster needle{2, 30, 0.5, 10, 60};
    const std::vector<AdjusterClick> clicks = needleClicks(needle);
    REQUIRE(clicks.size() == 61);
    CHECK(clicks.front().bleed_diameter_mm == 0);
    CHECK(clicks.back().bleed_diameter_mm <= 2);
    // The least frustum from the seat's edge to the cone, found by trying points of the cone.
    const double half = 15 * std::numbers::pi / 180;
    for (const int click : {1, 5, 12, 30}) {
        INFO(click);
        const double travel = 0.05 * click;
        double least = 1e9;
        for (int i = 0; i <= 200'000; ++i) {
            // A point of the cone: height above the seat's plane and radius there. Closed, the cone touches
            // the edge, so at height z its radius is 1 - (travel - z) tan(half): it narrows downward.
            const double height = (i / 200'000.0 - 0.5) * 1;
            const double radius = 1 - (travel - height) * std::tan(half);
            if (radius <= 0) continue;
            const double slant = std::hypot(1 - radius, height);
            least = std::min(least, std::numbers::pi * (1 + radius) * slant);
        }
        const double diameter = clicks[static_cast<std::size_t>(click)].bleed_diameter_mm;
        // The frustum at right angles to the cone is what the formula takes; the true least is a little less.
        CHECK(std::numbers::pi / 4 * diameter * diameter ==
              Approx(std::min(least, std::numbers::pi)).epsilon(0.03));
    }
    for (std::size_t i = 1; i < clicks.size(); ++i)
        CHECK(clicks[i].bleed_diameter_mm >= clicks[i - 1].bleed_diameter_mm);
    CHECK(bleedDiameterAt({{0, 0.0}, {4, 1.0}}, 1) == Approx(0.25));
}

TEST_CASE("discharge and bleed planted into noisy measurements are found within what the fit says of itself",
          "[damping]") {
    const StackSpec stack = test::inUsualValve(target_text);
    ValveFlow believed = usualFlow();
    ValveFlow truth = believed;
    truth.curtain_discharge = 0.63;
    truth.bleed_diameter_mm = 1.45;
    const StackOpening opening = openingOverFlow(stack, std::vector{truth}, 0.9);
    const DampingValve valve(truth, *opening.curve);
    std::mt19937 random(7);
    std::normal_distribution<double> noise(0, 0.02);
    const std::vector<double> bench_speeds{0.02, 0.04, 0.08, 0.13, 0.2, 0.3, 0.45, 0.6, 0.85};
    const StackOpening fit_opening = fitOpening(stack, believed, std::vector<MeasuredForce>{{0.85, 1}});
    int held_discharge = 0, held_bleed = 0;
    constexpr int benches = 40;
    for (int bench = 0; bench < benches; ++bench) {
        std::vector<MeasuredForce> measured;
        for (const double speed : bench_speeds)
            measured.push_back({speed, valve.atSpeed(speed)->force_n * std::exp(noise(random))});
        const DampingFit fit = fitDamping(believed, *fit_opening.curve, measured, {true, true});
        REQUIRE(fit.curtain_discharge.has_value());
        REQUIRE(fit.bleed_diameter_mm.has_value());
        CHECK(fit.curtain_discharge->value == Approx(0.63).margin(0.06));
        CHECK(fit.bleed_diameter_mm->value == Approx(1.45).margin(0.1));
        CHECK(fit.mean_miss < 0.05);
        held_discharge += std::abs(fit.curtain_discharge->value - 0.63) <= fit.curtain_discharge->uncertainty;
        held_bleed += std::abs(fit.bleed_diameter_mm->value - 1.45) <= fit.bleed_diameter_mm->uncertainty;
    }
    // 95 % intervals: of 40 fewer than 33 hold the truth by chance once in several thousand times.
    CHECK(held_discharge >= 33);
    CHECK(held_bleed >= 33);
    // Not so wide that they hold anything: without noise the answer is exact.
    std::vector<MeasuredForce> exact;
    for (const double speed : {0.02, 0.1, 0.3, 0.8}) exact.push_back({speed, valve.atSpeed(speed)->force_n});
    const DampingFit fit =
        fitDamping(believed, *fitOpening(stack, believed, exact).curve, exact, {true, true});
    CHECK(fit.curtain_discharge->value == Approx(0.63).epsilon(1e-3));
    CHECK(fit.bleed_diameter_mm->value == Approx(1.45).epsilon(1e-3));
    CHECK(fit.doubts.empty());
}

TEST_CASE("the clicks of a comparison and those that are asked for alone are the same", "[damping]") {
    ValveFlow flow = usualFlow();
    flow.clicks = {{0, 0}, {8, 1.2}, {20, 2.4}};
    flow.click = 8;
    flow.bleed_diameter_mm = 1.2;
    const DampedStack target{test::inUsualValve(target_text), flow};
    const DampedStack stiffer{test::inUsualValve(stiffer_text), flow};
    const std::vector<double> one_speed{0.1};
    const auto compared =
        compareDamping(stiffer, studyDamping(stiffer, one_speed), target, studyDamping(target, one_speed))
            .clicks;
    const auto alone = matchClicks(stiffer, target.stack);
    REQUIRE(compared.has_value());
    REQUIRE(alone.has_value());
    CHECK(alone->click == compared->click);
    CHECK(alone->ratio == Approx(compared->ratio).epsilon(1e-3));
    CHECK(alone->ratio_at_same_click == Approx(compared->ratio_at_same_click).epsilon(1e-3));
    ValveFlow fixed = flow;
    fixed.clicks.clear();
    fixed.click.reset();
    CHECK_FALSE(matchClicks({stiffer.stack, fixed}, target.stack).has_value());
}

TEST_CASE("a fit that is poor, one-sided or untold says so", "[damping]") {
    const StackSpec stack = test::inUsualValve(target_text);
    const ValveFlow flow = usualFlow();
    const StackOpening opening = openingOverFlow(stack, std::vector{flow}, 0.9);
    const DampingValve valve(flow, *opening.curve);
    const auto fitted = [&](const std::vector<MeasuredForce>& measured, FitUnknowns unknowns) {
        return fitDamping(flow, *fitOpening(stack, flow, measured).curve, measured, unknowns);
    };
    std::vector<MeasuredForce> rubbing; // the seals' friction was not taken off
    for (const double speed : {0.02, 0.04, 0.08, 0.13, 0.2, 0.3, 0.45, 0.6, 0.85})
        rubbing.push_back({speed, valve.atSpeed(speed)->force_n + 25});
    const DampingFit poor = fitted(rubbing, {true, true});
    CHECK(says(poor.doubts, "fit is poor"));
    CHECK(says(poor.doubts, "one way"));
    std::vector<MeasuredForce> half; // half of everything: no discharge up to 1 does that
    for (const double speed : {0.1, 0.2, 0.3, 0.45, 0.6})
        half.push_back({speed, 0.4 * valve.atSpeed(speed)->force_n});
    CHECK(says(fitted(half, {true, false}).doubts, "end of the range"));
    std::mt19937 random(3);
    std::normal_distribution<double> noise(0, 0.04);
    std::vector<MeasuredForce> fast; // the bleed shows at low speed alone
    for (const double speed : {0.7, 0.75, 0.8, 0.85})
        fast.push_back({speed, valve.atSpeed(speed)->force_n * std::exp(noise(random))});
    CHECK_FALSE(fitted(fast, {true, true}).doubts.empty());
    const std::vector<MeasuredForce> few(fast.begin(), fast.begin() + 3);
    CHECK_THROWS_AS(fitDamping(flow, *opening.curve, few, {true, true}), InputError);
    CHECK_NOTHROW(fitDamping(flow, *opening.curve, few, {false, true}));
    CHECK_THROWS_AS(fitDamping(flow, *opening.curve,
                               std::vector<MeasuredForce>{{0.1, -3}, {0.2, 4}, {0.3, 5}}, {true, false}),
                    InputError);
}

TEST_CASE("whatever the valve: forces rise with speed, lie in their bands, and every share is a share",
          "[damping]") {
    std::mt19937 random(5);
    const auto between = [&](double least, double greatest) {
        return std::uniform_real_distribution(least, greatest)(random);
    };
    const auto spread = [&](double least, double greatest) {
        return std::exp(between(std::log(least), std::log(greatest)));
    };
    int told = 0;
    for (int i = 0; i < 30; ++i) {
        const StackSpec stack = test::randomStack(random, {.gaps = i % 2 == 0, .seat = i % 3 == 0});
        INFO(i << ": " << stackText(stack.rows(), ", "));
        ValveFlow flow;
        flow.swept_area_mm2 = spread(30, 1500);
        flow.force_area_mm2 = flow.swept_area_mm2 * between(0.5, 1.5);
        flow.port_area_mm2 = spread(5, 300);
        flow.port_discharge = between(0.4, 1);
        flow.curtain_discharge = between(0.4, 1);
        flow.open_share = between(0.1, 1);
        flow.bleed_diameter_mm = i % 4 == 0 ? 0 : between(0, 6);
        flow.bleed_discharge = between(0.4, 1);
        flow.temperature_c = between(-30, 140);
        flow.oil.density_15c_kg_m3 = between(700, 1000);
        flow.oil.viscosity_100c_mm2_s = spread(1, 30);
        flow.oil.viscosity_40c_mm2_s = flow.oil.viscosity_100c_mm2_s * between(1.5, 15);
        const double top = spread(0.01, 1);
        std::vector<double> up_to_top;
        for (int k = 1; k <= 10; ++k) up_to_top.push_back(top * k / 10);
        const DampingStudy study = studyDamping({stack, flow}, up_to_top);
        double last = 0;
        for (std::size_t k = 0; k < study.points.size(); ++k) {
            const DampingPoint& point = study.points[k];
            CHECK(std::isfinite(point.force_n));
            CHECK(point.force_n > last);
            CHECK(point.bleed_share >= 0);
            CHECK(point.bleed_share <= 1 + 1e-9);
            CHECK(point.port_share >= 0);
            CHECK(point.port_share <= 1);
            CHECK(point.stack_share > -1e-6);
            if (k < study.force_band_n.size()) {
                CHECK(study.force_band_n[k].least <= point.force_n * (1 + 1e-9));
                CHECK(study.force_band_n[k].greatest >= point.force_n * (1 - 1e-9));
            }
            last = point.force_n;
            ++told;
        }
        CHECK(study.opening.complete == study.opening.reason.empty());
    }
    CHECK(told > 250);
}
