// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/reorder/demand_forecast.h"

#include "planner/reorder/lead_time_demand.h"
#include "planner/units/input_error.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <vector>

namespace shimledger::planner {

namespace {

void check(const ForecastRules& rules, const std::optional<LikeDemand>& like) {
    if (rules.periods_per_year < 1 || rules.least_periods < 1) {
        throw InputError("A forecast needs at least 1 period a year and 1 period of history.");
    }
    const auto chance = [](double value) { return value > 0 && value < 1; };
    if (!chance(rules.significance) || !chance(rules.late_start_chance)) {
        throw InputError("The significance of a test must lie between 0 and 1.");
    }
    if (like && !(like->jobs > 0 && !like->sizes.chances.empty())) {
        throw InputError("Demand of like parts must be more than 0 jobs of 1 piece or more.");
    }
}

/// A gamma distribution of the rate of jobs, learned period by period while older evidence fades.
class FadingRate {
public:
    FadingRate(double fading, double shape, double exposure)
        : m_fading(fading), m_shape(shape), m_exposure(exposure) {}

    [[nodiscard]] double mean() const { return m_shape / m_exposure; }
    [[nodiscard]] double variance() const { return m_shape / (m_exposure * m_exposure); }
    /// Logarithm of the chance that was given to `jobs` in a period of that exposure (negative binomial).
    [[nodiscard]] double foresaw(double jobs, double exposure) const {
        const double p = m_exposure / (m_exposure + exposure);
        if (jobs == 0) return m_shape * std::log(p); // most periods of most parts
        return std::lgamma(m_shape + jobs) - std::lgamma(m_shape) - std::lgamma(jobs + 1) +
               m_shape * std::log(p) + jobs * std::log(1 - p);
    }
    void learn(double jobs, double exposure) {
        // Never quite nothing: a part that has long been silent may still be asked for.
        m_shape = std::max(least_shape, m_fading * m_shape + jobs);
        m_exposure = m_fading * m_exposure + exposure;
    }

private:
    static constexpr double least_shape = 0.02;
    double m_fading, m_shape, m_exposure;
};

struct Rate {
    double mean = 0, variance = 0;
    std::vector<double> foreseen; ///< jobs of each period as it was foreseen
};

Rate learnRate(const std::vector<double>& jobs, const std::vector<double>& exposures, double shape,
               double exposure, const ForecastRules& rules) {
    const double year = rules.periods_per_year;
    double seen = shape, counted = exposure;
    for (std::size_t t = 0; t < jobs.size(); ++t) {
        seen += jobs[t];
        counted += exposures[t];
    }
    // A memory of less than some jobs is no memory.
    const auto fading = [&](double periods, double least_jobs) {
        return std::exp2(-1 / std::max(periods, least_jobs * counted / seen));
    };
    std::array<FadingRate, 3> rates{FadingRate(1, shape, exposure),
                                    FadingRate(fading(year, 6), shape, exposure),
                                    FadingRate(fading(year / 4, 3), shape, exposure)};
    // A steady part is the rule; logarithms.
    std::array<double, 3> merit{std::log(0.6), std::log(0.3), std::log(0.1)};
    const double memory = std::exp2(-2 / year); // of who foresaw well: half after half a year
    const auto shares = [&] {
        std::array<double, 3> share{};
        const double best = *std::max_element(merit.begin(), merit.end());
        double sum = 0;
        for (std::size_t i = 0; i < share.size(); ++i) sum += share[i] = std::exp(merit[i] - best);
        for (double& value : share) value /= sum;
        return share;
    };
    const auto mixedMean = [&](const std::array<double, 3>& share) {
        double mean = 0;
        for (std::size_t i = 0; i < share.size(); ++i) mean += share[i] * rates[i].mean();
        return mean;
    };
    Rate result;
    for (std::size_t t = 0; t < jobs.size(); ++t) {
        result.foreseen.push_back(mixedMean(shares()) * exposures[t]);
        for (std::size_t i = 0; i < rates.size(); ++i) {
            merit[i] = memory * merit[i] + rates[i].foresaw(jobs[t], exposures[t]);
            rates[i].learn(jobs[t], exposures[t]);
        }
    }
    const auto share = shares();
    result.mean = mixedMean(share);
    for (std::size_t i = 0; i < share.size(); ++i) {
        result.variance += share[i] * (rates[i].variance() + std::pow(rates[i].mean() - result.mean, 2));
    }
    return result;
}

/// Variance / mean of the jobs in a period where it is significantly above 1, else 1: what chance does by
/// itself is not taken for more. Against the mean of all, or as it was foreseen: a part that grows strays
/// from the one, a part of which little was known yet from the other; clumps stray from both.
double clumpingOf(const std::vector<double>& jobs, const std::vector<double>& exposures,
                  const std::vector<double>& foreseen, double significance, std::size_t most) {
    const std::size_t first = jobs.size() > most ? jobs.size() - most : 0;
    double sum = 0, exposure = 0;
    for (std::size_t t = first; t < jobs.size(); ++t) {
        sum += jobs[t];
        exposure += exposures[t];
    }
    if (sum < 4) return 1;
    double of_mean = 0, of_foreseen = 0, freedom = -1, variance = 0;
    for (std::size_t t = first; t < jobs.size(); ++t) {
        const double mean = sum / exposure * exposures[t];
        if (!(mean > 0 && foreseen[t] > 0)) continue;
        of_mean += (jobs[t] - mean) * (jobs[t] - mean) / mean;
        of_foreseen += (jobs[t] - foreseen[t]) * (jobs[t] - foreseen[t]) / foreseen[t];
        variance += 2 + 1 / mean; // of that term where jobs come by chance
        ++freedom;
    }
    // Not chi-square: with a job in twenty periods its tail is far too light.
    const double squares = std::min(of_mean, of_foreseen);
    if (freedom < 1 || squares - freedom <= normalQuantile(significance) * std::sqrt(variance)) return 1;
    return std::max(1.0, squares / freedom);
}

constexpr double soon = 6; ///< periods: what most lead times and looks cover

/// Two decimals, in every locale.
std::string rounded(double value) {
    const auto hundredths = std::llround(value * 100);
    const std::string cents = std::to_string(hundredths % 100);
    return std::to_string(hundredths / 100) + "." + (cents.size() < 2 ? "0" : "") + cents;
}

/// Where counting begins: at 0, or one mean interval before the first job where the silence before that is
/// unlikely.
int firstCounted(const DemandHistory& history, double chance) {
    if (history.jobs.empty()) return 0;
    const int first = history.jobs.front().period, after = history.periods - first;
    const auto more = static_cast<double>(history.jobs.size() - 1);
    // Jobs may have come in one period; the first says when, not how often.
    const double rate = more / std::max(1, after);
    if (more < 1 || std::exp(-rate * first) >= chance) return 0;
    return std::max(0, first + 1 - std::max(1, static_cast<int>(std::lround(1 / rate))));
}

} // namespace

std::string DemandForecast::text(std::string_view period) const {
    if (method == ForecastMethod::none) return "no demand";
    std::string words = rounded(mean()) + " a " + std::string(period);
    if (method == ForecastMethod::own) {
        words += pattern.most > pattern.least
                     ? " in jobs of " + std::to_string(pattern.least) + " to " + std::to_string(pattern.most)
                     : " in jobs of " + std::to_string(pattern.most);
    } else {
        words += ", as parts like it";
    }
    if (season.found()) words += ", by season";
    return words;
}

DemandForecast forecastDemand(const DemandHistory& history, const std::optional<LikeDemand>& like,
                              const ForecastRules& rules) {
    check(rules, like);
    checkDemandHistory(history);
    DemandForecast forecast;
    const bool young = history.periods < rules.least_periods;
    if (history.jobs.empty() && !(young && like)) {
        forecast.pattern = demandPattern(history.piecesByPeriod());
        return forecast;
    }
    const int first = firstCounted(history, rules.late_start_chance);
    forecast.first_period = first;
    std::vector<double> jobs(static_cast<std::size_t>(history.periods - first), 0.0), sizes;
    for (const JobDemand& job : history.jobs) {
        jobs[static_cast<std::size_t>(job.period - first)] += 1;
        sizes.push_back(job.pieces);
    }
    const std::vector<double> pieces = history.piecesByPeriod();
    forecast.pattern = demandPattern({pieces.begin() + first, pieces.end()});
    for (const double of_job : sizes) {
        const int whole = static_cast<int>(std::min(1e9, std::ceil(of_job - 1e-9)));
        forecast.pattern.least =
            forecast.pattern.least == 0 ? whole : std::min(forecast.pattern.least, whole);
        forecast.pattern.most = std::max(forecast.pattern.most, whole);
    }
    const auto factorOf = [&](int period) { return forecast.season.factor(period - history.periods); };
    forecast.season = findSeason(jobs, rules.periods_per_year);
    std::vector<double> exposures;
    double exposure = 0;
    for (std::size_t t = 0; t < jobs.size(); ++t) {
        exposures.push_back(factorOf(first + static_cast<int>(t)));
        exposure += exposures.back();
    }
    if (!forecast.season.found()) { // what one day took is one job: the season may show in its size alone
        forecast.season = findSeason({pieces.begin() + first, pieces.end()}, rules.periods_per_year);
        forecast.season_in_sizes = forecast.season.found();
    }
    if (forecast.season_in_sizes) {
        const double ahead = forecast.season.meanAhead(soon);
        for (std::size_t i = 0; i < sizes.size(); ++i) {
            sizes[i] = std::max(1.0, sizes[i] * ahead / factorOf(history.jobs[i].period));
        }
    }
    // What is known before anything is: the like as one job, else half a job at the part's own rate.
    const double shape = like ? 1 : 0.5;
    const double before = like ? 1 / like->jobs : 0.5 * exposure / static_cast<double>(history.jobs.size());
    const Rate rate = learnRate(jobs, exposures, shape, before, rules);
    forecast.method = history.jobs.empty() ? ForecastMethod::like : ForecastMethod::own;
    forecast.jobs = rate.mean;
    forecast.jobs_variance = rate.variance;
    forecast.clumping = clumpingOf(jobs, exposures, rate.foreseen, rules.significance,
                                   static_cast<std::size_t>(2 * rules.periods_per_year));
    constexpr std::size_t most_sizes = 200; // older ones say less
    if (sizes.size() > most_sizes) sizes.erase(sizes.begin(), sizes.end() - most_sizes);
    if (sizes.empty()) {
        forecast.sizes = like->sizes;
    } else {
        if (forecast.season_in_sizes) {
            for (double& of_job : sizes) of_job = std::round(of_job);
        }
        const JobSizes seen = JobSizes::ofJobs(sizes);
        forecast.sizes = mixed(seen, like ? like->sizes : JobSizes::geometric(seen.mean()),
                               0.5 / (static_cast<double>(sizes.size()) + 0.5));
    }
    forecast.mean_size = forecast.sizes.mean();
    if (forecast.season_in_sizes) {
        forecast.mean_size /= std::max(0.05, forecast.season.meanAhead(soon));
    }
    return forecast;
}

} // namespace shimledger::planner
