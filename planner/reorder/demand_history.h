// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

namespace shimledger::planner {

/// What one job took of a part.
struct JobDemand {
    int period = 0;    ///< counted from the first period of the history
    double pieces = 0; ///< above 0
};

/// Demand of one part job by job, as far back as it is known. Jobs, not periods, are what a shelf serves or
/// leaves waiting.
struct DemandHistory {
    int periods = 0;             ///< known, with and without demand; the last is the one just ended
    std::vector<JobDemand> jobs; ///< by period, oldest first

    [[nodiscard]] std::vector<double> piecesByPeriod() const;
    /// Where only sums are known: every period with demand is taken for one job.
    [[nodiscard]] static DemandHistory ofPeriods(const std::vector<double>& pieces);
};

/// Raises InputError: jobs outside the periods or out of order, pieces that are not above 0.
void checkDemandHistory(const DemandHistory& history);

} // namespace shimledger::planner
