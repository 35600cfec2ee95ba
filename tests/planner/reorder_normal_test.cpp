// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/reorder/demand_pattern.h"
#include "planner/reorder/economic_order.h"
#include "planner/reorder/intermittent_forecast.h"
#include "planner/reorder/lead_time_demand.h"
#include "planner/reorder/normal_demand.h"
#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

#include <cmath>

using namespace shimledger::planner;

// Rows of the inventory reference by number; E001 to E043, E081 to E138 and E142 to E158 but for E152 stand
// in reorder_reference_test.cpp, E058 to E080 in reorder_economic_test.cpp. Not covered: E044 (a loss table
// rounded to four digits; E045 has it exact). The program itself is told a service level and has no backorder
// cost, nor does it iterate lot and point together; E047 to E049 and E053 to E057 put its functions together
// that way.
namespace {

NormalDemand normal(const LeadTimeDemand& demand) {
    return {demand.mean(), std::sqrt(demand.variance())};
}

} // namespace

TEST_CASE("the books' normal examples come out of the mean and variance of the lead-time demand") {
    // Chopra and Meindl, exercise 11-4 worksheet (read): E018-E022.
    const LeadTimeDemand demand(250, 150.0 * 150, leadTimeChances({14, 0, 0}, 7));
    CHECK(600 - demand.mean() == Approx(100));
    CHECK(std::sqrt(demand.variance()) == Approx(212.1320344));
    CHECK(normal(demand).cycleService(600) == Approx(0.6813240559));
    CHECK(normal(demand).shortage(600) == Approx(43.86125881));
    CHECK(normal(demand).fillRate(600, 1000) == Approx(0.9561387412));
    // Chopra and Meindl, B&M Office Products (memory): E023-E025.
    const LeadTimeDemand office(2500, 500.0 * 500, leadTimeChances({14, 0, 0}, 7));
    CHECK(normal(office).cycleService(6000) == Approx(0.9213503965));
    CHECK(normal(office).shortage(6000) == Approx(25.12727083));
    CHECK(normal(office).fillRate(6000, 10000) == Approx(0.9974872729));
    // Cachon and Terwiesch, statistics tutorial, without the rounding of the table: E045.
    CHECK(NormalDemand{1000, 300}.shortage(1600) == Approx(2.547210785));
    // Nahmias, Harvey's Specialty Shop (memory): E050-E052.
    const NormalDemand shop{100, 25};
    CHECK((shop.pointForFillRate(0.98, 100) - 100) / 25 == Approx(1.021238878));
    CHECK(shop.pointForFillRate(0.98, 100) == Approx(125.5309719));
    CHECK(shop.pointForService(0.98) == Approx(151.3437228));
}

TEST_CASE(
    "lot and reorder point iterated with the program's loss, quantile and economic order meet the books") {
    // Nahmias, Harvey's Specialty Shop: 200 a year, 50 an order, 20 % of 10 a year, 25 for a piece that is
    // short; lead time 6 months.
    const auto lotWith = [](double shortage) { return economicQuantity({200, 50 + 25 * shortage, 0.2}, 10); };
    const auto pointWith = [](const NormalDemand& demand, double lot) {
        return demand.pointForService(1 - lot * 2 / (25 * 200));
    };
    const NormalDemand shop{100, 25};
    double lot = economicQuantity({200, 50, 0.2}, 10);
    double point = pointWith(shop, lot);
    CHECK(point == Approx(143.7671518)); // E047
    for (int step = 0; step < 60; ++step) {
        lot = lotWith(shop.shortage(point));
        point = pointWith(shop, lot);
    }
    CHECK(lot == Approx(110.7737375));  // E048
    CHECK(point == Approx(142.568199)); // E049
    // The same shop with sd 20: E055 to E057.
    const NormalDemand steady{100, 20};
    CHECK(pointWith(steady, 100) == Approx(135.0137214));
    CHECK(steady.shortage(135.0137214) == Approx(0.3229266235));
    CHECK(lotWith(steady.shortage(135.0137214)) == Approx(107.7712073));
    // Fill rate 0.98: what a piece short must cost follows from the fill rate. E053, E054.
    lot = 100;
    for (int step = 0; step < 60; ++step) {
        point = shop.pointForFillRate(0.98, lot);
        const double part = shop.shortage(point) / (1 - shop.cycleService(point));
        lot = part + std::sqrt(part * part + 2 * 200 * 50 / 2.0);
    }
    CHECK(lot == Approx(114.2674119));
    CHECK(point == Approx(123.770738));
    // A single season's purchase at the critical ratio 7 / (7 + 3): E141.
    CHECK(NormalDemand{100, 30}.pointForService(0.7) == Approx(115.7320154));
}

TEST_CASE("a spread lead time and a review period give the books' standard deviations") {
    // E046, Heizer and Render, chapter 12 (read): 60 a week, lead time 6 weeks, sd 2, Z = 1.28. Demand itself
    // is sure.
    const LeadTimeDemand sure(60, 0, leadTimeChances({42, 14, 0}, 7));
    CHECK(sure.mean() == Approx(360));
    CHECK(sure.mean() + 1.28 * std::sqrt(sure.variance()) == Approx(513.6));
    // E139: 100 a day, sd 20, lead time 9 days, sd 2.
    const LeadTimeDemand daily(100, 400, leadTimeChances({9, 2, 0}, 1));
    CHECK(std::sqrt(daily.variance()) == Approx(208.8061302));
    // E140: 10 a day, sd 4, review 7 days, lead time 5, service 0.98.
    const LeadTimeDemand reviewed(10, 16, leadTimeChances({5, 0, 7}, 1));
    CHECK(normal(reviewed).pointForService(0.98) == Approx(148.4575797));
}

TEST_CASE("a lead time whose spread exceeds it keeps mean and variance, and is never negative") {
    for (const double spread : {1.0, 4.0, 6.0, 20.0}) {
        const auto chances = leadTimeChances({5, spread, 2}, 7);
        double mean = 0, square = 0;
        for (const auto& chance : chances) {
            CHECK(chance.periods > 0);
            mean += chance.probability * chance.periods * 7;
            square += chance.probability * chance.periods * chance.periods * 49;
        }
        CHECK(mean == Approx(7));
        CHECK(square - mean * mean == Approx(spread * spread));
    }
    using shimledger::InputError;
    CHECK_THROWS_AS(leadTimeChances({-1, 0, 7}, 7), InputError);
    CHECK_THROWS_AS(leadTimeChances({1, -1, 7}, 7), InputError);
    CHECK_THROWS_AS(leadTimeChances({1, 1, -7}, 7), InputError);
}

TEST_CASE("the normal curve meets the exact distribution of a fast mover and misses that of a slow one") {
    const LeadTimeDemand fast(900, 900, {{2, 1}});
    CHECK(fast.quantile(0.98) == Approx(normal(fast).pointForService(0.98)).epsilon(0.001));
    const LeadTimeDemand slow(0.3, 1.2, {{2, 1}});
    CHECK(slow.quantile(0.98) >= 1.3 * normal(slow).pointForService(0.98));
}

TEST_CASE("demand classes part at the published cut-offs, and SBA is the published factor") {
    CHECK(adi_cut_off == 1.32);                                           // E159
    CHECK(cv2_cut_off == 0.49);                                           // E160
    CHECK(correctionFactor(CrostonCorrection::sba, 0.1) == Approx(0.95)); // E152
    CHECK(demandPattern({0, 0, 0}).demand_class == DemandClass::none);
    CHECK(demandPattern({4, 4, 4, 4}).demand_class == DemandClass::smooth);
    CHECK(demandPattern({1, 9, 1, 1, 9, 1}).demand_class == DemandClass::erratic);
    CHECK(demandPattern({4, 0, 4, 0, 0, 4}).demand_class == DemandClass::intermittent);
    const auto lumpy = demandPattern({1, 0, 12, 0, 0, 1, 0});
    CHECK(lumpy.demand_class == DemandClass::lumpy);
    CHECK(lumpy.interval == Approx(7.0 / 3));
    CHECK(lumpy.silent == 1);
    CHECK_THROWS_AS(demandPattern({1, -1}), shimledger::InputError);
}
