// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace shimledger::planner {

/// The books' normal approximation of demand during the lead time. A yardstick: plans rest on LeadTimeDemand,
/// and for fast movers the two must come to the same; slow movers are what it is wrong about.
struct NormalDemand {
    double mean = 0;
    double sigma = 1; ///< > 0

    [[nodiscard]] double cycleService(double reorder_point) const; ///< P(D <= reorder point)
    [[nodiscard]] double shortage(double reorder_point) const;     ///< E[(D - reorder point)+], per cycle
    /// Share of demand served, lots of `lot` > 0 being ordered: 1 - shortage / lot.
    [[nodiscard]] double fillRate(double reorder_point, double lot) const;
    [[nodiscard]] double pointForService(double service) const; ///< service strictly between 0 and 1
    /// The reorder point whose fill rate is `share`; shortage allowed (1 - share) * lot > 0.
    [[nodiscard]] double pointForFillRate(double share, double lot) const;
};

} // namespace shimledger::planner
