#pragma once

#include "planner/reorder/demand_pattern.h"
#include "planner/reorder/season.h"

#include <optional>
#include <string>
#include <vector>

namespace shimledger::planner {

/// What the established parts of a class ask for; stands in for a part that is too new.
struct ClassDemand {
    double mean = 0;       ///< pieces per period
    double dispersion = 1; ///< variance / mean, >= 1
};

struct ForecastRules {
    int periods_per_year = 52;
    int least_periods = 13;      ///< a younger part is new
    int least_demands = 2;       ///< of an older part that is asked for at all; 0 demands forecast 0
    double alpha = 0.1;          ///< smoothing of sizes and intervals, 0..1
    double beta = 0.1;           ///< smoothing of the probability (TSB), 0..1
    double silent_intervals = 3; ///< silent for more than so many of its intervals: the part may be dying
    double significance = 0.95;  ///< of the dispersion test
};

enum class ForecastMethod { none, average, sba, tsb, ofClass };

/// Mean and variance of one period's demand, without the season.
struct DemandForecast {
    ForecastMethod method = ForecastMethod::none;
    DemandPattern pattern;
    double mean = 0;       ///< pieces per period
    double variance = 0;   ///< mean: Poisson; more: negative binomial
    double dispersion = 1; ///< variance / mean, >= 1
    Season season;

    [[nodiscard]] bool isPoisson() const { return variance <= mean; }
    /// "intermittent, SBA, negative binomial, 1.25 a week"; `period` is the word for one period.
    [[nodiscard]] std::string text(const std::string& period) const;
};

/// The rules, in this order; demand per period, oldest first:
/// 1. Fewer than least_periods, or asked for in fewer than least_demands of them (but asked for): of its
///    class where that is known, else its own average.
/// 2. Never asked for: none (mean 0).
/// 3. Two agreeing years: the series is divided by its season first.
/// 4. Smooth or erratic: the average of the last year.
/// 5. Intermittent or lumpy: TSB when silent for more than silent_intervals of its intervals, else SBA.
/// Dispersion: (n-1)s^2/m beyond the chi-square quantile means negative binomial with that s^2/m, else
/// Poisson. Negative demand or bad rules raise InputError.
[[nodiscard]] DemandForecast forecastDemand(const std::vector<double>& demand,
                                            const std::optional<ClassDemand>& of_class = {},
                                            const ForecastRules& rules = {});

} // namespace shimledger::planner
