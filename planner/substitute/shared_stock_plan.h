// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/substitute_request.h"
#include "planner/substitute/substitute_result.h"

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::planner {

/// One of several jobs that draw on the same drawers.
struct SharedJob {
    std::string name;
    int priority = 0; ///< greater is more urgent
    std::optional<StackSpec> target;
    int legs = 2;
    std::optional<double> compared_lift_mm{}; ///< in place of the rules' working lift, where it is smaller
};

struct SharedProgress {
    std::int64_t searches = 0; ///< of single jobs
    double sum_of_deviations = 0, lower_bound = 0;
    double seconds = 0;
};

struct SharedStockRequest {
    std::vector<SharedJob> jobs; ///< names differ
    /// Stock, rules, and limits of the search of one job; its target, legs and progress are not used.
    SubstituteRequest common;
    double seconds = 60; ///< for all of it
    /// Called now and then, to the last explanation; false ends it with the best plan so far.
    std::function<bool(const SharedProgress&)> progress;
};

struct SharedJobPlan {
    std::string name;
    std::optional<SubstituteProposal> proposal; ///< none: nothing is left that it could be built from
    double deviation = 0;                       ///< of the proposal, at its largest
    /// What it would get by these rules if the others took nothing, and how close that is; none where nothing
    /// is known, or nothing possible.
    SubstituteStatus alone = SubstituteStatus::not_run;
    std::optional<double> deviation_alone;
    std::vector<std::string> blocked_by; ///< jobs that take discs of what it would get alone
    std::string sentence;
};

struct SharedStockPlan {
    std::vector<SharedJobPlan> jobs; ///< in the order of the request
    int unplanned = 0;
    /// Of the planned ones, by the weights of the rules. One that gets the discs of its own target adds
    /// nothing, whatever they were read to measure.
    double sum_of_deviations = 0;
    double lower_bound = 0; ///< no plan of as many jobs, by the rules of planTogether, has a smaller sum
    /// By these rules no other plan leaves fewer jobs out, the most urgent first, or has a sum that is
    /// smaller by the gap of the limits for each job or more.
    bool proved = false;
    bool stopped = false; ///< by the progress call: sentences say what was not found out for that
    std::int64_t searches = 0;
    double seconds = 0;
};

/// Plans all jobs against one stock so that no disc is promised twice: as many of the most urgent as
/// possible, then of the less urgent, then the least sum of deviations. Each job keeps to the rules as if it
/// were alone, but that groups of which all jobs together want more discs than there are may change as well,
/// as those may that are short. Where lots of a size were read apart, a job's legs share them out as they
/// would of the whole drawers. A job that gets nothing so is tried once more by itself on what is left; then,
/// and where others leave a job other spacers under the clamp or (of more than a thousand ways to share them
/// out) other readings, nothing is proved. Throws InputError, naming the job, where a request is a bad one.
[[nodiscard]] SharedStockPlan planTogether(const SharedStockRequest& request);

} // namespace shimledger::planner
