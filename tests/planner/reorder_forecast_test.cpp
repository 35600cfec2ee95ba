// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/reorder/demand_forecast.h"
#include "planner/reorder/lead_time_demand.h"
#include "planner/reorder/shelf_service.h"
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

/// Weeks of so many jobs of one piece each.
DemandHistory jobs(int count, double mean, double variance, unsigned seed, int silent_before = 0) {
    Draws draws(seed, LeadTimeDemand(mean, variance, {{1, 1}}));
    DemandHistory history;
    history.periods = silent_before;
    for (int week = 0; week < count; ++week, ++history.periods) {
        for (int job = draws.next(); job > 0; --job) history.jobs.push_back({history.periods, 1});
    }
    return history;
}

DemandHistory weeks(const std::vector<double>& pieces) {
    return DemandHistory::ofPeriods(pieces);
}

} // namespace

TEST_CASE("a steady part is averaged over all that is known, and what is not known of it shrinks") {
    double sum = 0;
    for (unsigned seed = 0; seed < 40; ++seed) sum += forecastDemand(jobs(104, 0.3, 0.3, seed)).mean() / 40;
    CHECK(sum == Approx(0.3).epsilon(0.08)); // no bias beyond what 40 parts scatter by
    const auto young = forecastDemand(jobs(20, 1, 1, 7)), old = forecastDemand(jobs(156, 1, 1, 7));
    CHECK(old.jobs_variance < young.jobs_variance / 3);
    CHECK(old.method == ForecastMethod::own);
}

TEST_CASE("a part that dies or grows is followed, and one that was never asked for forecasts nothing") {
    DemandHistory dying = jobs(52, 1, 1, 3);
    const double alive = forecastDemand(dying).mean();
    dying.periods += 52;
    CHECK(forecastDemand(dying).mean() < alive / 5);
    DemandHistory grown = jobs(78, 0.5, 0.5, 4);
    for (const auto& job : jobs(26, 3, 3, 5).jobs) grown.jobs.push_back({78 + job.period, 1});
    grown.periods = 104;
    CHECK(forecastDemand(grown).mean() > 2);
    const auto nothing = forecastDemand(weeks(std::vector<double>(30, 0.0)));
    CHECK(nothing.method == ForecastMethod::none);
    CHECK(nothing.mean() == 0);
    CHECK(nothing.text("week") == "no demand");
}

TEST_CASE("the same demand counts the same whether the ledger begins with it or long before") {
    for (unsigned seed = 10; seed < 20; ++seed) {
        const auto at_once = forecastDemand(jobs(53, 0.5, 0.5, seed));
        const auto late = forecastDemand(jobs(53, 0.5, 0.5, seed, 103));
        INFO(seed);
        CHECK(late.mean() == Approx(at_once.mean()).epsilon(0.15));
        CHECK(late.first_period > 90);
    }
    // A part that is seldom asked for may well be silent for a while: nothing is cut off.
    int cut = 0;
    for (unsigned seed = 0; seed < 100; ++seed) {
        cut += forecastDemand(jobs(156, 0.05, 0.05, seed)).first_period > 0 ? 1 : 0;
    }
    CHECK(cut < 25);
}

TEST_CASE("clumps are told from chance, also where a job comes once in twenty weeks") {
    CHECK(forecastDemand(jobs(104, 2, 9, 5)).clumping == Approx(4.5).epsilon(0.4));
    int often = 0, seldom = 0; // the test's own level: 5 % of parts that chance alone asks for
    for (unsigned seed = 100; seed < 300; ++seed) {
        often += forecastDemand(jobs(52, 1, 1, seed)).clumping > 1 ? 1 : 0;
        seldom += forecastDemand(jobs(156, 0.05, 0.05, seed)).clumping > 1 ? 1 : 0;
    }
    CHECK(often < 25);
    CHECK(seldom < 25);
}

TEST_CASE("a new part leans on its like until it has demand of its own") {
    const LikeDemand like{1.5, {{{2, 1.0}}}};
    const auto empty = forecastDemand({}, like);
    CHECK(empty.method == ForecastMethod::like);
    CHECK(empty.mean() == Approx(3));
    CHECK(empty.text("week") == "3.00 a week, as parts like it");
    CHECK(forecastDemand({}).mean() == 0);
    const double one_job = forecastDemand(weeks({0, 4, 0}), like).jobs;
    CHECK(one_job < 1.5);
    CHECK(one_job > 1.0 / 3);
    // After a year of jobs of its own the like says next to nothing.
    const auto own = jobs(60, 0.5, 0.5, 9);
    CHECK(forecastDemand(own, like).jobs == Approx(forecastDemand(own).jobs).epsilon(0.06));
    CHECK(forecastDemand(weeks(std::vector<double>(20, 0.0)), like).mean() ==
          0); // not new, and not asked for
}

TEST_CASE("silence outside the season is no sign of death, and the season is seen before it begins") {
    DemandHistory riding; // 4 jobs a week for 28 weeks, then 24 silent ones, three years; it begins tomorrow
    for (int year = 0; year < 3; ++year) {
        for (int week = 0; week < 52; ++week, ++riding.periods) {
            for (int job = 0; job < (week < 28 ? 4 : 0); ++job) riding.jobs.push_back({riding.periods, 1});
        }
    }
    const auto forecast = forecastDemand(riding);
    REQUIRE(forecast.season.found());
    double sum = 0;
    for (const double factor : forecast.season.factors) sum += factor;
    CHECK(sum / 52 == Approx(1));
    CHECK(forecast.mean() * forecast.season.factor(2) == Approx(4).epsilon(0.1));
    CHECK(forecast.mean() * forecast.season.factor(40) < 0.5);
    CHECK(forecast.season.factor(-52) == forecast.season.factor(0));
    const auto lead = leadTimeChances({14, 0, 0}, 7);
    const int before = ShelfService(forecast, lead, 1).withLot(20).pointFor(0.95);
    CHECK(before >= 7); // it was 2
    riding.periods -= 20;
    while (riding.jobs.back().period >= riding.periods) riding.jobs.pop_back();
    CHECK(ShelfService(forecastDemand(riding), lead, 1).withLot(20).pointFor(0.95) <
          before / 2); // in the silent weeks
    CHECK(forecast.text("week").find("by season") != std::string::npos);
    CHECK_FALSE(forecastDemand(jobs(60, 3, 3, 1)).season.found());
    int found = 0;
    for (unsigned seed = 0; seed < 100; ++seed) {
        found += forecastDemand(jobs(104, 1, 1, seed)).season.found() ? 1 : 0;
    }
    CHECK(found < 12); // level demand agrees by chance now and then, no more
}

TEST_CASE("a season that shows in the pieces of a job alone is seen too") {
    std::vector<double> pieces;
    for (int week = 0; week < 156; ++week) pieces.push_back(week % 52 >= 12 && week % 52 < 36 ? 8 : 1);
    const auto winter = forecastDemand(weeks(pieces));
    REQUIRE(winter.season_in_sizes);
    CHECK(winter.mean() == Approx((24 * 8 + 28) / 52.0).epsilon(0.15));
    CHECK(winter.sizes.mean() < 2);
    const auto spring = forecastDemand(weeks({pieces.begin() + 12, pieces.begin() + 116 + 12}));
    REQUIRE(spring.season_in_sizes);
    CHECK(spring.jobs == Approx(1).epsilon(0.05));
}

TEST_CASE("impossible demand and rules of a forecast are named") {
    using shimledger::InputError;
    CHECK_THROWS_AS(weeks({1, -1}), InputError);
    CHECK_THROWS_AS(weeks({1, std::nan("")}), InputError);
    CHECK_THROWS_AS(forecastDemand({2, {{2, 1}}}), InputError);
    CHECK_THROWS_AS(forecastDemand({2, {{1, 1}, {0, 1}}}), InputError);
    CHECK_THROWS_AS(forecastDemand({2, {{1, 0}}}), InputError);
    CHECK_THROWS_AS(forecastDemand({}, LikeDemand{}), InputError);
    ForecastRules rules;
    rules.least_periods = 0;
    CHECK_THROWS_AS(forecastDemand(weeks({1, 1}), {}, rules), InputError);
    rules = {};
    rules.significance = 1;
    CHECK_THROWS_AS(forecastDemand(weeks({1, 1}), {}, rules), InputError);
}
