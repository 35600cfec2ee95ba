#include "planner/reorder/demand_forecast.h"

#include "planner/reorder/intermittent_forecast.h"
#include "planner/units/input_error.h"

#include <boost/math/distributions/chi_squared.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace shimledger::planner {

namespace {

void check(const ForecastRules& rules) {
    if (rules.periods_per_year < 1 || rules.least_periods < 1 || rules.least_demands < 0) {
        throw InputError("A forecast needs at least 1 period a year and 1 period of history.");
    }
    if (!(rules.significance > 0 && rules.significance < 1)) {
        throw InputError("The significance of the dispersion test must lie between 0 and 1.");
    }
}

double averageOf(const std::vector<double>& demand) {
    double sum = 0;
    for (const double pieces : demand) sum += pieces;
    return demand.empty() ? 0 : sum / static_cast<double>(demand.size());
}

/// Variance / mean where it is significantly above 1, else 1: what a Poisson series shows by chance is not
/// taken for more.
double dispersionOf(const std::vector<double>& demand, double significance) {
    const double mean = averageOf(demand);
    if (demand.size() < 2 || mean == 0) return 1;
    double squares = 0;
    for (const double pieces : demand) squares += (pieces - mean) * (pieces - mean);
    const double freedom = static_cast<double>(demand.size()) - 1;
    const boost::math::chi_squared_distribution<> chance(freedom);
    if (squares / mean <= boost::math::quantile(chance, significance)) return 1;
    return std::max(1.0, squares / freedom / mean);
}

std::vector<double> withoutSeason(std::vector<double> demand, const Season& season) {
    const auto size = static_cast<int>(demand.size());
    for (int i = 0; i < size; ++i) demand[static_cast<std::size_t>(i)] /= season.factor(i - size);
    return demand;
}

std::vector<double> lastYear(const std::vector<double>& demand, int periods) {
    const auto taken = std::min(demand.size(), static_cast<std::size_t>(periods));
    return {demand.end() - static_cast<std::ptrdiff_t>(taken), demand.end()};
}

void setMean(DemandForecast& forecast, double mean, double dispersion, ForecastMethod method) {
    forecast.method = method;
    forecast.mean = mean;
    forecast.dispersion = dispersion;
    forecast.variance = mean * dispersion;
}

std::string_view methodName(ForecastMethod method) {
    switch (method) {
    case ForecastMethod::average:
        return "average";
    case ForecastMethod::sba:
        return "SBA";
    case ForecastMethod::tsb:
        return "TSB";
    case ForecastMethod::ofClass:
        return "as its class";
    case ForecastMethod::none:
        break;
    }
    return "none";
}

/// Two decimals, in every locale.
std::string rounded(double value) {
    const auto hundredths = std::llround(value * 100);
    const std::string cents = std::to_string(hundredths % 100);
    return std::to_string(hundredths / 100) + "." + (cents.size() < 2 ? "0" : "") + cents;
}

} // namespace

std::string DemandForecast::text(const std::string& period) const {
    if (method == ForecastMethod::none) return "no demand";
    std::string words = rounded(mean) + " a " + period;
    if (pattern.demand_class != DemandClass::none) {
        words += ", " + std::string(demandClassName(pattern.demand_class));
    }
    words += ", " + std::string(methodName(method));
    words += isPoisson() ? ", Poisson" : ", negative binomial";
    if (season.found()) words += ", by season";
    return words;
}

DemandForecast forecastDemand(const std::vector<double>& demand, const std::optional<ClassDemand>& of_class,
                              const ForecastRules& rules) {
    check(rules);
    DemandForecast forecast;
    forecast.pattern = demandPattern(demand);
    const bool young = static_cast<int>(demand.size()) < rules.least_periods;
    const bool asked = forecast.pattern.demands > 0;
    if (young || (asked && forecast.pattern.demands < rules.least_demands)) {
        if (of_class && young) {
            setMean(forecast, of_class->mean, std::max(1.0, of_class->dispersion), ForecastMethod::ofClass);
        } else if (asked) {
            setMean(forecast, averageOf(demand), of_class ? std::max(1.0, of_class->dispersion) : 1,
                    ForecastMethod::average);
        }
        return forecast;
    }
    if (!asked) return forecast;
    forecast.season = findSeason(demand, rules.periods_per_year);
    const std::vector<double> level = withoutSeason(demand, forecast.season);
    const std::vector<double> year = lastYear(level, rules.periods_per_year);
    const double dispersion = dispersionOf(averageOf(year) > 0 ? year : level, rules.significance);
    const bool seldom = forecast.pattern.interval >= adi_cut_off;
    if (!seldom) {
        setMean(forecast, averageOf(year), dispersion, ForecastMethod::average);
    } else if (forecast.pattern.silent > rules.silent_intervals * forecast.pattern.interval) {
        setMean(forecast, tsbForecast(level, rules.alpha, rules.beta).per_period, dispersion,
                ForecastMethod::tsb);
    } else {
        setMean(forecast, crostonForecast(level, rules.alpha, CrostonCorrection::sba).per_period, dispersion,
                ForecastMethod::sba);
    }
    return forecast;
}

} // namespace shimledger::planner
