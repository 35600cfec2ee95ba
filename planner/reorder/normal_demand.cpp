// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/reorder/normal_demand.h"

#include "planner/reorder/lead_time_demand.h"
#include "planner/units/input_error.h"

#include <boost/math/distributions/normal.hpp>

namespace shimledger::planner {

double NormalDemand::cycleService(double reorder_point) const {
    return boost::math::cdf(boost::math::normal_distribution<>(mean, sigma), reorder_point);
}

double NormalDemand::shortage(double reorder_point) const {
    return sigma * unitNormalLoss((reorder_point - mean) / sigma);
}

double NormalDemand::fillRate(double reorder_point, double lot) const {
    if (!(lot > 0)) throw InputError("An order quantity must be more than 0.");
    return 1 - shortage(reorder_point) / lot;
}

double NormalDemand::pointForService(double service) const {
    return mean + normalQuantile(service) * sigma;
}

double NormalDemand::pointForFillRate(double share, double lot) const {
    if (!(lot > 0 && share < 1)) throw InputError("A fill rate below 1 and a lot above 0 are needed.");
    const double allowed = (1 - share) * lot;
    // The shortage falls from beyond all bounds to 0: halve the interval to the last digit.
    double low = mean - sigma - allowed, high = mean + 40 * sigma;
    for (int step = 0; step < 200 && low < high; ++step) {
        const double middle = low + (high - low) / 2;
        (shortage(middle) > allowed ? low : high) = middle;
    }
    return high;
}

} // namespace shimledger::planner
