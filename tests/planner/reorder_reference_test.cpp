// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/reorder/intermittent_forecast.h"
#include "planner/reorder/lead_time_demand.h"
#include "planner/units/input_error.h"
#include "tests/planner/reference_csv.h"

#include <catch2/catch.hpp>

#include <charconv>
#include <cmath>
#include <random>

using namespace shimledger::planner;
using Row = std::map<std::string, std::string>;

namespace {

double number(const std::string& text) {
    double value = std::nan("");
    std::from_chars(text.data(), text.data() + text.size(), value);
    return value;
}

/// The figure that follows `word` in `text`.
double after(const std::string& text, const std::string& word) {
    const auto at = text.find(word);
    if (at == std::string::npos) {
        throw std::runtime_error("no '" + word + "' in '" + text + "'");
    }
    return number(text.substr(at + word.size()));
}

bool starts(const std::string& text, const std::string& with) {
    return text.rfind(with, 0) == 0;
}

LeadTimeDemand onePeriod(double mean, double variance) {
    return {mean, variance, {{1.0, 1.0}}};
}

double distributionFigure(const Row& row) {
    const std::string& inputs = row.at("inputs");
    const std::string& what = row.at("quantity");
    const double mean = after(inputs, "mean ");
    const bool spread = inputs.find("var ") != std::string::npos;
    const auto demand = onePeriod(mean, spread ? after(inputs, "var ") : mean);
    if (starts(what, "smallest s")) return demand.quantile(after(inputs, "target "));
    if (what == "F(Q)") return demand.cumulative(static_cast<int>(after(inputs, "Q=")));
    if (starts(what, "L(Q)")) return demand.loss(static_cast<int>(after(inputs, "Q=")));
    if (starts(what, "P(D=")) return demand.probability(static_cast<int>(after(what, "P(D=")));
    if (starts(what, "P(D<=")) return demand.cumulative(static_cast<int>(after(what, "P(D<=")));
    return demand.loss(static_cast<int>(after(what, "E[(D-")));
}

/// Base stock S is the (r, Q) rule with r = S-1 and Q = 1.
double policyFigure(const Row& row) {
    const std::string& inputs = row.at("inputs");
    const std::string& what = row.at("quantity");
    const bool base = starts(row.at("topic"), "base stock");
    const double mean = after(inputs, "mean ");
    const int r = base ? static_cast<int>(after(inputs, "S=")) - 1 : static_cast<int>(after(inputs, "r="));
    const int lot = base ? 1 : static_cast<int>(after(inputs, "Q="));
    const auto demand = onePeriod(mean, mean);
    if (starts(what, "fill rate")) return demand.fillRate(r, lot);
    if (what == "expected backorders") return demand.backorders(r, lot);
    if (what == "expected on hand") return demand.onHand(r, lot);
    return demand.cumulative(base ? r + 1 : r);
}

double forecastFigure(const Row& row) {
    const std::vector<double> y{0, 0, 5, 0, 0, 0, 3, 0, 2, 0, 0, 0, 0, 4, 0, 6};
    const std::string& what = row.at("quantity");
    const double alpha = after(row.at("inputs"), "alpha=");
    const auto correction = row.at("topic") == "SBA"   ? CrostonCorrection::sba
                            : row.at("topic") == "SBJ" ? CrostonCorrection::sbj
                                                       : CrostonCorrection::none;
    const auto forecast = row.at("topic") == "TSB" ? tsbForecast(y, alpha, after(row.at("inputs"), "beta="))
                                                   : crostonForecast(y, alpha, correction);
    if (starts(what, "size")) return forecast.size;
    if (starts(what, "interval")) return forecast.interval;
    if (starts(what, "probability")) return forecast.probability;
    return forecast.per_period;
}

double figure(const Row& row) {
    const std::string& topic = row.at("topic");
    if (topic == "unit normal loss") return unitNormalLoss(after(row.at("inputs"), "k="));
    if (topic == "normal quantile") return normalQuantile(after(row.at("inputs"), "CSL "));
    if (topic == "Croston" || topic == "SBA" || topic == "SBJ" || topic == "TSB") return forecastFigure(row);
    if (starts(topic, "base stock") || starts(topic, "(r,Q)")) return policyFigure(row);
    return distributionFigure(row);
}

} // namespace

TEST_CASE("every covered row of the inventory books comes out to the digits given") {
    const auto rows = referenceRows("inventory_examples.csv");
    REQUIRE(rows.size() == 109);
    for (const auto& row : rows) {
        INFO(row.at("id") << " " << row.at("topic") << " " << row.at("inputs") << " " << row.at("quantity")
                          << " after " << row.at("source"));
        CHECK(figure(row) == Approx(number(row.at("recomputed"))).epsilon(2e-9).margin(1e-13));
    }
}

TEST_CASE("a simulated year meets the promised fill rate and cycle service within sampling error") {
    // Weekly Poisson demand, base stock 5 with a lead time of 2 weeks. Inversion by hand keeps the draws
    // portable.
    const double mean = 0.9;
    const int base = 5;
    std::mt19937_64 random(20240607);
    const auto draw = [&] {
        const double u = static_cast<double>(random() >> 11) * 0x1p-53;
        double p = std::exp(-mean), sum = p;
        int pieces = 0;
        while (u >= sum && pieces < 100) {
            p *= mean / ++pieces;
            sum += p;
        }
        return pieces;
    };
    double square = 0, share = 0;
    const int replications = 2000;
    for (int run = 0; run < replications; ++run) {
        int before = draw(), last = draw(), met = 0;
        for (int week = 0; week < 52; ++week) {
            met += before + last <= base ? 1 : 0;
            before = last;
            last = draw();
        }
        share += met / 52.0;
        square += met / 52.0 * (met / 52.0);
    }
    const double average = share / replications;
    const double error = std::sqrt((square / replications - average * average) / replications);
    const LeadTimeDemand demand(mean, mean, {{2.0, 1.0}});
    CHECK(std::abs(average - demand.cumulative(base)) < 4 * error);
    CHECK(std::abs(average - demand.cumulative(base - 1)) > 4 * error); // the test can tell them apart
}

TEST_CASE("more service, longer and more spread lead times never lower the stock asked for") {
    for (const double variance : {0.5, 0.9, 2.5}) {
        int last = 0;
        for (const double service : {0.0, 0.5, 0.8, 0.9, 0.95, 0.99, 0.999}) {
            const int now = LeadTimeDemand(0.9, variance, {{3, 1}}).quantile(service);
            CHECK(now >= last);
            CHECK(LeadTimeDemand(0.9, variance, {{4, 1}}).quantile(service) >= now);
            last = now;
        }
    }
    const LeadTimeDemand sure(0.9, 0.9, {{4, 1}});
    const LeadTimeDemand spread(0.9, 0.9, {{2, 0.5}, {6, 0.5}});
    CHECK(spread.mean() == Approx(sure.mean()));
    CHECK(spread.loss(6) > sure.loss(6));
}

TEST_CASE("impossible demand and lead times are named") {
    using shimledger::InputError;
    CHECK_THROWS_AS(LeadTimeDemand(1, 1, {{-2, 1}}), InputError);
    CHECK_THROWS_AS(LeadTimeDemand(-1, 1, {{2, 1}}), InputError);
    CHECK_THROWS_AS(LeadTimeDemand(1, 1, {{2, 0.5}}), InputError);
    CHECK_THROWS_AS(LeadTimeDemand(1, 1, {{2, 1}}).quantile(1.0), InputError);
    CHECK_THROWS_AS(crostonForecast({1, -1}, 0.1, CrostonCorrection::sba), InputError);
    CHECK_THROWS_AS(tsbForecast({1, 1}, 0.1, 0), InputError);
    CHECK(crostonForecast({0, 0, 0}, 0.1, CrostonCorrection::sba).per_period == 0);
}
