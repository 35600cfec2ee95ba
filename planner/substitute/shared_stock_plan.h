#pragma once

#include "planner/substitute/substitute_request.h"
#include "planner/substitute/substitute_result.h"

#include <cstdint>
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
};

struct SharedStockRequest {
    std::vector<SharedJob> jobs; ///< names differ
    /// Stock, rules, limits (for each search) and progress; its target and legs are not used.
    SubstituteRequest common;
};

struct SharedJobPlan {
    std::string name;
    std::optional<SubstituteProposal> proposal; ///< none: nothing is left that it could be built from
    double deviation = 0;
    SubstituteStatus alone = SubstituteStatus::not_run; ///< what it would get with the drawers to itself ...
    double deviation_alone = 0;                         ///< ... and how close that is
    std::vector<std::string> blocked_by;                ///< jobs that take discs of what it would get alone
    std::string sentence;
};

struct SharedStockPlan {
    std::vector<SharedJobPlan> jobs; ///< in the order of the request
    int unplanned = 0;
    double sum_of_deviations = 0; ///< of the planned ones
    double lower_bound = 0;       ///< no plan of these jobs has a smaller sum
    bool proved = false;          ///< as many are planned as can be, and no sum is smaller
    double seconds = 0;
};

/// Plans all jobs against one stock so that no disc is promised twice: as many of the most urgent as
/// possible, then of the less urgent, then the least sum of deviations. Each job's stacks come from searches
/// of the whole stock and of what single others leave; the best combination of those is exact, and proved
/// where it reaches the sum of what each job would get alone. Throws InputError, naming the job, where a
/// request is a bad one.
[[nodiscard]] SharedStockPlan planTogether(const SharedStockRequest& request);

} // namespace shimledger::planner
