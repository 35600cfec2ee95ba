// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/reorder/economic_order.h"
#include "planner/reorder/intermittent_forecast.h"
#include "planner/reorder/season.h"
#include "planner/reorder/shelf_service.h"
#include "tests/comparisons/replenishment/demand_process.h"

#include <functional>
#include <map>
#include <utility>

namespace shimledger::comparison {

/// What every run shares. Money in hundredths; a piece costs 1.00, keeping it 20 % a year, an order
/// line 2.00.
struct Terms {
    double promise = 0.95;
    double lead_days = 9;
    double lead_spread = 3; ///< days; orders do not overtake each other
    double review_weeks = 1;
    double line_cost = 200;
    double holding = 20.0 / 52; ///< of a piece a week
    double piece_price = 100;
};

struct Levels {
    int point = 0, up_to = 1;
    double said = 0; ///< share of jobs that the rule says it serves; 0: it says nothing
};

using Rule = std::function<Levels(const planner::DemandHistory&)>;

struct Outcome {
    double jobs = 0, served = 0, holding = 0, lines = 0, weeks = 0;
    double said = 0, times_said = 0;
    std::vector<bool> ordered; ///< by week, of one run

    [[nodiscard]] double share() const { return jobs > 0 ? served / jobs : 1; }
    [[nodiscard]] double costAYear() const { return (holding + lines) / weeks * 52; }
    [[nodiscard]] double saidShare() const { return times_said > 0 ? said / times_said : 0; }
    void add(const Outcome& other) {
        jobs += other.jobs;
        served += other.served;
        holding += other.holding;
        lines += other.lines;
        weeks += other.weeks;
        said += other.said;
        times_said += other.times_said;
    }
};

/// Two years day by day: looks once a week, orders up to, jobs that are not served in full wait in their
/// order. The rule learns what has happened every fourth week.
inline Outcome runShelf(const DemandProcess& process, const Rule& rule, const Terms& terms,
                        std::uint64_t seed, int weeks = 104) {
    Draws draws(seed), deliveries(seed ^ 0x9e3779b97f4a7c15ULL);
    GrowingHistory history;
    const auto drawWeek = [&](int week) {
        std::vector<std::vector<int>> days;
        for (int day = 0; day < 7; ++day) days.push_back(process.day(week, draws));
        return days;
    };
    for (int week = -process.known_weeks; week < 0; ++week) history.week(drawWeek(week));
    Levels levels = rule(history.known());
    int net = levels.up_to, on_order = 0;
    std::map<double, int> coming; // by day
    double last_arrival = 0;
    Outcome outcome;
    outcome.ordered.assign(static_cast<std::size_t>(weeks), false);
    for (int week = 0; week < weeks; ++week) {
        if (week > 0 && week % 4 == 0) levels = rule(history.known());
        if (levels.said > 0) {
            outcome.said += levels.said * process.rate(week);
            outcome.times_said += process.rate(week);
        }
        if (week % static_cast<int>(terms.review_weeks) == 0 && net + on_order <= levels.point) {
            const int pieces = levels.up_to - net - on_order;
            const double draw = deliveries.unit();
            const double off = draw < 1.0 / 6 ? -std::sqrt(3.0) : draw < 5.0 / 6 ? 0 : std::sqrt(3.0);
            last_arrival = std::max(last_arrival, week * 7 + terms.lead_days + off * terms.lead_spread);
            coming[last_arrival] += pieces;
            on_order += pieces;
            outcome.lines += terms.line_cost;
            outcome.ordered[static_cast<std::size_t>(week)] = true;
        }
        const auto days = drawWeek(week);
        for (int day = 0; day < 7; ++day) {
            while (!coming.empty() && coming.begin()->first <= week * 7 + day) {
                net += coming.begin()->second;
                on_order -= coming.begin()->second;
                coming.erase(coming.begin());
            }
            for (const int pieces : days[static_cast<std::size_t>(day)]) {
                ++outcome.jobs;
                outcome.served += net >= pieces ? 1 : 0;
                net -= pieces;
            }
            outcome.holding += terms.holding / 7 * std::max(0, net);
        }
        history.week(days);
        ++outcome.weeks;
    }
    return outcome;
}

inline std::vector<planner::LeadTimeChance> leadTime(const Terms& terms) {
    return planner::leadTimeChances({terms.lead_days, terms.lead_spread, 0}, 7);
}

/// The rule as it is.
inline Rule ruleNow(const DemandProcess& process, const Terms& terms) {
    return [&process, terms](const planner::DemandHistory& history) {
        const auto forecast = planner::forecastDemand(history, process.like);
        const double yearly = forecast.mean() * 52;
        if (!(yearly > 0)) return Levels{0, 1, 0};
        const planner::ShelfService service(forecast, leadTime(terms), terms.review_weeks);
        const double lot = planner::economicQuantity({yearly, terms.line_cost, 0.2}, terms.piece_price);
        const auto policy =
            planner::shelfPolicy(service, forecast.jobs, terms.promise, {terms.line_cost, terms.holding}, lot,
                                 std::max(1, static_cast<int>(std::lround(yearly))));
        return Levels{policy.reorder_point, policy.orderUpTo(), policy.served_share};
    };
}

/// The rule of before: the mean by SBA or the last year, s by the chance that it outlasts the lead time.
inline Rule ruleBefore(const DemandProcess& process, const Terms& terms) {
    return [&process, terms](const planner::DemandHistory& history) {
        const std::vector<double> weeks = history.piecesByPeriod();
        const auto pattern = planner::demandPattern(weeks);
        double mean = 0, dispersion = 1, season = 1;
        if (history.periods < 13 && process.like) {
            mean = process.like->jobs * process.like->sizes.mean();
        } else if (pattern.demands > 0) {
            const auto found = planner::findSeason(weeks, 52);
            std::vector<double> level = weeks;
            for (std::size_t i = 0; i < level.size(); ++i) {
                level[i] /=
                    std::max(0.25, found.factor(static_cast<int>(i) - static_cast<int>(level.size())));
            }
            const std::vector<double> year(level.end() - std::min<std::ptrdiff_t>(52, std::ssize(level)),
                                           level.end());
            const auto average = [](const std::vector<double>& of) {
                double sum = 0;
                for (const double pieces : of) sum += pieces;
                return sum / static_cast<double>(of.size());
            };
            const auto& spread = average(year) > 0 ? year : level;
            double squares = 0;
            for (const double pieces : spread) squares += std::pow(pieces - average(spread), 2);
            const double freedom = static_cast<double>(spread.size()) - 1;
            // the 95 % point of chi-square, by Wilson and Hilferty
            const double limit =
                freedom * std::pow(1 - 2 / (9 * freedom) + 1.6449 * std::sqrt(2 / (9 * freedom)), 3);
            if (squares / average(spread) > limit) {
                dispersion = std::max(1.0, squares / freedom / average(spread));
            }
            if (pattern.demands < 2) {
                mean = average(weeks);
            } else if (pattern.interval < planner::adi_cut_off) {
                mean = average(year);
            } else if (pattern.silent > 3 * pattern.interval) {
                mean = planner::tsbForecast(level, 0.1, 0.1).per_period;
            } else {
                mean = planner::crostonForecast(level, 0.1, planner::CrostonCorrection::sba).per_period;
            }
            season = found.meanAhead(terms.lead_days / 7 + terms.review_weeks);
        }
        if (!(mean * 52 >= 1)) return Levels{0, 1, 0}; // "too seldom to keep"
        const planner::LeadTimeDemand demand(
            mean * season, mean * dispersion * season,
            planner::leadTimeChances({terms.lead_days, terms.lead_spread, 7 * terms.review_weeks}, 7));
        const int point = demand.quantile(terms.promise);
        const double lot = std::min(
            planner::economicQuantity({mean * 52, terms.line_cost, 0.2}, terms.piece_price), mean * 52);
        return Levels{point, point + std::max(1, static_cast<int>(std::lround(lot))), 0};
    };
}

/// The best levels that never change, found by trying: cheapest of those that serve the promised share over
/// the same two years as the rules, demand known. For a season or a trend it is no bound, as it stands still.
inline Outcome oracle(const DemandProcess& process, const Terms& terms, double share, int runs,
                      std::uint64_t seed, Levels& best) {
    std::optional<Outcome> cheapest;
    double mean_size = 0, rate = 0;
    Draws draws(7);
    for (int i = 0; i < 4000; ++i) mean_size += process.size(draws) / 4000.0;
    for (int week = 0; week < 104; ++week) rate += process.rate(week) / 104;
    const double lot =
        planner::economicQuantity({52 * rate * mean_size, terms.line_cost, 0.2}, terms.piece_price);
    const auto tried = [&](int point, int of_lot, int count) {
        Outcome sum;
        const Levels levels{point, point + of_lot, 0};
        for (int run = 0; run < count; ++run) {
            sum.add(runShelf(
                process, [&](const auto&) { return levels; }, terms, seed + static_cast<std::uint64_t>(run)));
        }
        return sum;
    };
    for (const double part : {0.15, 0.25, 0.35, 0.5, 0.6, 0.75, 0.9, 1.1, 1.4}) {
        // Nobody orders for longer than a year.
        const int of_lot =
            std::max(1, static_cast<int>(std::lround(std::min(lot * part, 52 * rate * mean_size))));
        int never = -1, enough = 4;
        while (tried(enough, of_lot, runs).share() < share && enough < 500) {
            never = enough;
            enough *= 2;
        }
        while (enough - never > 1) {
            const int middle = (enough + never) / 2;
            (tried(middle, of_lot, runs).share() >= share ? enough : never) = middle;
        }
        const Outcome outcome = tried(enough, of_lot, runs);
        if (!cheapest || outcome.costAYear() < cheapest->costAYear()) {
            cheapest = outcome;
            best = {enough, enough + of_lot, 0};
        }
    }
    return *cheapest;
}

} // namespace shimledger::comparison
