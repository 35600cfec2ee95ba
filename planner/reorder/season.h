#pragma once

#include <vector>

namespace shimledger::planner {

/// The riding year: how demand of each thirteenth of the year (four weeks) stands to the year's mean. Counted
/// from the period that follows the series, so that share 0 is what comes next.
struct Season {
    std::vector<double> factors; ///< 13, mean 1; empty: no season was found
    int periods_per_year = 52;

    [[nodiscard]] bool found() const { return !factors.empty(); }
    /// Of the period `ahead` >= 0 after the series; negative: of a period of the series (-1 the last). 1
    /// without a season.
    [[nodiscard]] double factor(int ahead) const;
    /// Mean over the next `periods` (> 0; parts of a period count in part).
    [[nodiscard]] double meanAhead(double periods) const;
};

/// Found only where the series holds two years, at least 26 periods with demand, and the profiles of the two
/// last years agree (correlation 0.5 or more); else empty. Neighbouring shares are smoothed 1:2:1 and kept
/// within 0.25..4.
[[nodiscard]] Season findSeason(const std::vector<double>& demand, int periods_per_year);

} // namespace shimledger::planner
