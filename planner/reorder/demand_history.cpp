// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/reorder/demand_history.h"

#include "planner/units/input_error.h"

#include <cmath>
#include <cstddef>

namespace shimledger::planner {

std::vector<double> DemandHistory::piecesByPeriod() const {
    std::vector<double> pieces(static_cast<std::size_t>(periods), 0.0);
    for (const JobDemand& job : jobs) pieces[static_cast<std::size_t>(job.period)] += job.pieces;
    return pieces;
}

DemandHistory DemandHistory::ofPeriods(const std::vector<double>& pieces) {
    DemandHistory history;
    for (const double of_period : pieces) {
        if (!(of_period >= 0)) throw InputError("Demand in a period must be 0 or more.");
        if (of_period > 0) history.jobs.push_back({history.periods, of_period});
        ++history.periods;
    }
    return history;
}

void checkDemandHistory(const DemandHistory& history) {
    int last = 0;
    for (const JobDemand& job : history.jobs) {
        if (job.period < last || job.period >= history.periods) {
            throw InputError("The jobs of a demand history must lie in its periods, the oldest first.");
        }
        if (!(std::isfinite(job.pieces) && job.pieces > 0)) {
            throw InputError("A job of a demand history must take more than 0 pieces.");
        }
        last = job.period;
    }
}

} // namespace shimledger::planner
