// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

namespace shimledger::planner {

/// The riding year: how demand of each period of the year stands to the year's mean. Counted from the period
/// that follows the series, so that factor 0 is what comes next.
struct Season {
    std::vector<double> factors; ///< one a period of the year, mean 1; empty: no season was found
    int periods_per_year = 52;

    [[nodiscard]] bool found() const { return !factors.empty(); }
    /// Of the period `ahead` >= 0 after the series; negative: of a period of the series (-1 the last). 1
    /// without a season.
    [[nodiscard]] double factor(int ahead) const;
    /// Mean over the next `periods` (> 0; parts of a period count in part).
    [[nodiscard]] double meanAhead(double periods) const;
};

/// Found only where the series holds two years, at least 26 periods with demand in the last two, and the
/// years agree thirteenth by thirteenth (mean correlation of the years' pairs 0.5 or more, of at most the
/// last three); else empty. Periods are smoothed over their neighbours, over fewer where there is much
/// demand, so that the day on which a season begins is not blurred, and kept within 0.05..4.
[[nodiscard]] Season findSeason(const std::vector<double>& demand, int periods_per_year);

} // namespace shimledger::planner
