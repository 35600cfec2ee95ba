// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/reorder/demand_history.h"
#include "planner/reorder/demand_pattern.h"
#include "planner/reorder/job_sizes.h"
#include "planner/reorder/season.h"

#include <optional>
#include <string>
#include <string_view>

namespace shimledger::planner {

/// What parts like this one are asked for (the same diameter in the next thickness, the wear parts of the
/// same model, the same class): what a part goes by until it has demand of its own. It counts as much as one
/// job.
struct LikeDemand {
    double jobs = 0; ///< a period, above 0
    JobSizes sizes;  ///< not empty
};

struct ForecastRules {
    int periods_per_year = 52;
    int least_periods = 13;         ///< a younger part is new
    double late_start_chance = 0.1; ///< silence before the first job that is less likely is no demand at all
    double significance = 0.95;     ///< of the dispersion test
};

enum class ForecastMethod {
    none, ///< nothing was ever asked for
    own,  ///< of its own jobs
    like  ///< new: mostly of its like
};

/// Jobs a period and pieces a job, each with what is not known about it.
struct DemandForecast {
    ForecastMethod method = ForecastMethod::none;
    DemandPattern pattern;    ///< of the periods that were counted
    double jobs = 0;          ///< a period, without the season
    double jobs_variance = 0; ///< how far that mean may be off, squared
    double clumping = 1;      ///< variance / mean of the jobs in a period, >= 1
    JobSizes sizes;           ///< of the coming weeks, where it is the sizes that have a season
    double mean_size = 0;     ///< in the mean of the year
    Season season;
    bool season_in_sizes = false; ///< jobs come all year, but bigger in the season; else more of them come
    int first_period = 0;         ///< the history counts from here: later than 0 where demand began late

    [[nodiscard]] double mean() const {
        return jobs * mean_size;
    } ///< pieces a period, in the mean of the year
    /// How many times the usual jobs the next periods bring.
    [[nodiscard]] double jobsAhead(double periods) const {
        return season_in_sizes ? 1 : season.meanAhead(periods);
    }
    /// "1.25 a week in jobs of 2 to 4, by season".
    [[nodiscard]] std::string text(std::string_view period) const;
};

/// Jobs come by chance at a rate that is learned (gamma-Poisson), their sizes as they were seen.
///
/// - The rate is learned at three speeds at once: from all of the history, and with a half-life of a year and
///   of a quarter; each counts by how well it foresaw the jobs so far, so that a part that changes or dies is
///   followed and a steady one is not made to jump. (Discounting of the evidence: West and Harrison, Bayesian
///   Forecasting and Dynamic Models, chapter 10; from memory.)
/// - Where two years or more agree on a season, silence outside it says little and demand inside it no more
///   than it should: a period counts for as much as its season's factor.
/// - Counting begins one mean interval before the first job where the silence before it is unlikely at the
///   rate that followed.
/// - One more job than were seen may have any size: of its like, else any about the mean.
///
/// Bad histories and rules raise InputError.
[[nodiscard]] DemandForecast forecastDemand(const DemandHistory& history,
                                            const std::optional<LikeDemand>& like = {},
                                            const ForecastRules& rules = {});

} // namespace shimledger::planner
