// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/reorder/demand_forecast.h"
#include "planner/reorder/demand_history.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <optional>
#include <random>
#include <string>
#include <vector>

namespace shimledger::comparison {

/// Draws that are the same on every machine: the bits of std::mt19937_64, by inversion.
class Draws {
public:
    explicit Draws(std::uint64_t seed) : m_random(seed) {}

    double unit() { return static_cast<double>(m_random() >> 11) * 0x1p-53; }
    int poisson(double mean) {
        const double u = unit();
        double p = std::exp(-mean), sum = p;
        int count = 0;
        while (u >= sum && count < 1000) {
            p *= mean / ++count;
            sum += p;
        }
        return count;
    }
    int between(int least, int most) { return least + static_cast<int>(unit() * (most - least + 1)); }
    int geometric(double mean) { // 1, 2, ...
        return mean <= 1 ? 1 : 1 + static_cast<int>(std::log(1 - unit()) / std::log(1 - 1 / mean));
    }

private:
    std::mt19937_64 m_random;
};

enum class Sizes { one, two, oneOrTwo, twoOrFour, oneToTwentyFour, geometricOfFive };

/// One part whose truth is known. Weeks count from 0 = now; the past is negative.
struct DemandProcess {
    std::string name;
    double jobs_a_week = 1;
    Sizes sizes = Sizes::one;
    int known_weeks = 156;
    enum class Shape { level, onOff, wave, lateStart, clumped, growing, dying } shape = Shape::level;
    bool judged = true; ///< a year or more is known: the promise is to be kept
    std::optional<planner::LikeDemand> like{};

    [[nodiscard]] double rate(int week) const {
        const double of_year = (week % 52 + 52) % 52;
        switch (shape) {
        case Shape::onOff: // the season begins in two weeks from now
            return of_year >= 2 && of_year < 30 ? jobs_a_week : 0;
        case Shape::wave:
            return jobs_a_week * (1 + 0.7 * std::sin(2 * 3.14159265358979 * of_year / 52));
        case Shape::lateStart:
            return week < -53 ? 0 : jobs_a_week;
        case Shape::growing: // 40 % a year
            return jobs_a_week * std::pow(1.4, week / 52.0);
        case Shape::dying: // half after half a year, from half a year ago on
            return jobs_a_week * std::exp2(-std::max(0, week + 26) / 26.0);
        case Shape::clumped:
        case Shape::level:
            break;
        }
        return jobs_a_week;
    }

    int size(Draws& draws) const {
        switch (sizes) {
        case Sizes::one:
            return 1;
        case Sizes::two:
            return 2;
        case Sizes::oneOrTwo:
            return draws.between(1, 2);
        case Sizes::twoOrFour:
            return 2 * draws.between(1, 2);
        case Sizes::oneToTwentyFour:
            return draws.between(1, 24);
        case Sizes::geometricOfFive:
            return draws.geometric(5);
        }
        return 1;
    }

    /// The pieces of each job of one day.
    [[nodiscard]] std::vector<int> day(int week, Draws& draws) const {
        std::vector<int> jobs;
        const bool clumps = shape == Shape::clumped;
        for (int count = draws.poisson(rate(week) / 7 / (clumps ? 3 : 1)); count > 0; --count) {
            for (int more = clumps ? draws.geometric(3) : 1; more > 0; --more) jobs.push_back(size(draws));
        }
        return jobs;
    }
};

/// Twelve with a year or more known, one that dies and one that is new.
inline std::vector<DemandProcess> demandProcesses() {
    using Shape = DemandProcess::Shape;
    planner::LikeDemand like{0.4, {{{2, 1.0}}}};
    return {{"steady, 4 a week", 4, Sizes::one, 156},
            {"steady, 1 a week, a year known", 1, Sizes::two, 52},
            {"seldom, 0.25 a week of 2 or 4", 0.25, Sizes::twoOrFour, 156},
            {"slow, 0.05 a week of 1 or 2", 0.05, Sizes::oneOrTwo, 156},
            {"lumpy, 0.05 a week of 1 to 24", 0.05, Sizes::oneToTwentyFour, 156},
            {"lumpy, 0.2 a week of 1 to 24, a year known", 0.2, Sizes::oneToTwentyFour, 52},
            {"erratic, 2 a week of about 5", 2, Sizes::geometricOfFive, 104},
            {"season, 4 a week for 28 weeks", 4, Sizes::one, 156, Shape::onOff},
            {"season, a wave about 1.5 a week", 1.5, Sizes::one, 156, Shape::wave},
            {"late start, 0.5 a week of 2, 53 of 156 weeks", 0.5, Sizes::two, 156, Shape::lateStart},
            {"clumps of about 3 jobs, 0.6 a week", 0.6, Sizes::one, 156, Shape::clumped},
            {"growing by 40 % a year from 0.7 a week", 0.7, Sizes::two, 104, Shape::growing},
            {"dying, half in half a year", 1, Sizes::one, 156, Shape::dying, false},
            {"new, 6 weeks known, 0.6 a week like 0.4", 0.6, Sizes::two, 6, Shape::level, false, like}};
}

/// A history that grows week by week.
class GrowingHistory {
public:
    void week(const std::vector<std::vector<int>>& days) {
        for (const auto& day : days) {
            for (const int pieces : day) {
                m_history.jobs.push_back({m_history.periods, static_cast<double>(pieces)});
            }
        }
        ++m_history.periods;
    }
    /// The last three years, as the ledger gives them.
    [[nodiscard]] planner::DemandHistory known() const {
        constexpr int most = 156;
        const int cut = std::max(0, m_history.periods - most);
        planner::DemandHistory last{m_history.periods - cut, {}};
        for (const auto& job : m_history.jobs) {
            if (job.period >= cut) last.jobs.push_back({job.period - cut, job.pieces});
        }
        return last;
    }

private:
    planner::DemandHistory m_history;
};

} // namespace shimledger::comparison
