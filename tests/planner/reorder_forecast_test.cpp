#include "planner/reorder/demand_forecast.h"
#include "planner/reorder/lead_time_demand.h"
#include "planner/reorder/reorder_policy.h"
#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <random>

using namespace shimledger::planner;

namespace {

/// Draws by inversion, so that every machine has the same series.
class Draws {
public:
    Draws(unsigned seed, const LeadTimeDemand& demand) : m_random(seed) {
        for (int pieces = 0; m_cumulative.empty() || m_cumulative.back() < 1 - 1e-12; ++pieces) {
            m_cumulative.push_back(demand.cumulative(pieces));
        }
    }
    int next() {
        const double u = static_cast<double>(m_random() >> 11) * 0x1p-53;
        const auto found = std::upper_bound(m_cumulative.begin(), m_cumulative.end(), u);
        return static_cast<int>(found - m_cumulative.begin());
    }

private:
    std::mt19937_64 m_random;
    std::vector<double> m_cumulative; ///< P(D <= index)
};

std::vector<double> weeks(int count, double mean, double variance, unsigned seed) {
    Draws draws(seed, LeadTimeDemand(mean, variance, {{1, 1}}));
    std::vector<double> series;
    for (int i = 0; i < count; ++i) series.push_back(draws.next());
    return series;
}

} // namespace

TEST_CASE("often-wanted parts are averaged, seldom-wanted ones forecast by SBA, dying ones by TSB") {
    CHECK(forecastDemand(weeks(52, 4, 4, 1)).method == ForecastMethod::average);
    CHECK(forecastDemand(weeks(52, 0.3, 0.3, 2)).method == ForecastMethod::sba);
    std::vector<double> dying = weeks(52, 0.5, 0.5, 3);
    const double alive = forecastDemand(dying).mean;
    dying.insert(dying.end(), 30, 0.0);
    const auto forecast = forecastDemand(dying);
    CHECK(forecast.method == ForecastMethod::tsb);
    CHECK(forecast.mean < alive / 5);
    CHECK(forecastDemand(std::vector<double>(30, 0.0)).method == ForecastMethod::none);
    CHECK(forecastDemand(std::vector<double>(30, 0.0)).text("week") == "no demand");
}

TEST_CASE("clumps make a negative binomial, and chance alone does not") {
    const auto plain = forecastDemand(weeks(104, 2, 2, 4));
    CHECK(plain.isPoisson());
    const auto clumped = forecastDemand(weeks(104, 2, 9, 5));
    CHECK_FALSE(clumped.isPoisson());
    CHECK(clumped.dispersion == Approx(4.5).epsilon(0.4));
    CHECK(clumped.text("week").find("negative binomial") != std::string::npos);
    int wrong = 0; // the test's own level: 5 % of Poisson series are taken for more
    for (unsigned seed = 100; seed < 300; ++seed)
        wrong += forecastDemand(weeks(52, 1, 1, seed)).isPoisson() ? 0 : 1;
    CHECK(wrong < 25);
}

TEST_CASE("a new part falls back on its class, an older one does not") {
    const ClassDemand of_class{1.5, 3};
    const auto young = forecastDemand({0, 2, 0}, of_class);
    CHECK(young.method == ForecastMethod::ofClass);
    CHECK(young.mean == 1.5);
    CHECK(young.variance == 4.5);
    CHECK(forecastDemand({}, of_class).mean == 1.5);
    CHECK(forecastDemand({}).mean == 0);
    CHECK(forecastDemand({0, 2, 0}).mean == Approx(2.0 / 3));
    CHECK(forecastDemand(std::vector<double>(20, 0.0), of_class).mean == 0);
}

TEST_CASE("two agreeing years give a season that lifts the spring, one year or two unlike ones give none") {
    std::vector<double> riding;
    for (int week = 0; week < 104; ++week) riding.push_back(week % 52 < 16 ? 6 : 1);
    const auto forecast = forecastDemand(riding);
    REQUIRE(forecast.season.found());
    double sum = 0;
    for (const double factor : forecast.season.factors) sum += factor;
    CHECK(sum / 13 == Approx(1));
    CHECK(forecast.season.meanAhead(4) > 1.5); // what follows is week 0 of the next year
    CHECK(forecast.season.factor(30) < 0.6);
    CHECK(forecast.season.factor(-52) == forecast.season.factor(0));
    CHECK(forecast.mean == Approx((16 * 6 + 36 * 1) / 52.0).epsilon(0.15));
    CHECK(forecast.text("week").find("by season") != std::string::npos);
    CHECK_FALSE(forecastDemand({riding.begin(), riding.begin() + 60}).season.found());
    int found = 0;
    for (unsigned seed = 0; seed < 100; ++seed)
        found += findSeason(weeks(104, 1, 1, seed), 52).found() ? 1 : 0;
    CHECK(found < 12); // level demand agrees by chance now and then, no more
}

TEST_CASE("impossible demand and rules of a forecast are named") {
    using shimledger::InputError;
    CHECK_THROWS_AS(forecastDemand({1, -1}), InputError);
    CHECK_THROWS_AS(forecastDemand({1, std::nan("")}), InputError);
    ForecastRules rules;
    rules.least_periods = 0;
    CHECK_THROWS_AS(forecastDemand({1, 1}, {}, rules), InputError);
    rules = {};
    rules.significance = 1;
    CHECK_THROWS_AS(forecastDemand({1, 1}, {}, rules), InputError);
}

TEST_CASE(
    "2000 generated years of weekly reviews keep the promised service, and a lower reorder point does not") {
    // Lumpy weekly demand, order of 12 when the position is at the reorder point or below, there after two
    // weeks.
    const double mean = 1.2, variance = 4;
    const LeadTimeDemand week(mean, variance, {{1, 1}});
    const LeadTimeDemand window(mean, variance, leadTimeChances({14, 0, 7}, 7));
    const double service = 0.95;
    const int lot = 12, point = window.quantile(service);
    const auto served = [&](int reorder_point) {
        Draws draws(20261125, week);
        double sum = 0, squares = 0;
        for (int run = 0; run < 2000; ++run) {
            int net = reorder_point + 1 + run % lot, coming_next = 0, coming_last = 0, kept = 0;
            for (int review = 0; review < 52; ++review) {
                const int position = net + coming_next + coming_last;
                const int order = position <= reorder_point ? reorder_point + lot - position : 0;
                net += coming_next;
                coming_next = coming_last;
                coming_last = order;
                net -= draws.next();
                kept += net >= 0 ? 1 : 0;
            }
            sum += kept / 52.0;
            squares += kept / 52.0 * (kept / 52.0);
        }
        const double average = sum / 2000;
        return std::pair(average, std::sqrt((squares / 2000 - average * average) / 2000));
    };
    const ReorderQuestion question{3, 0, 2, 1, 0, service, lot, 0};
    CHECK(answerReorder(question, window).order == point + lot - 5); // the rule that is simulated
    const auto [average, error] = served(point);
    CHECK(average > service - 4 * error);
    CHECK(served(point / 3).first < service - 4 * error);
}
