// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

namespace shimledger::planner {

struct SizeChance {
    int pieces = 0;    ///< above 0
    double chance = 0; ///< all together 1
};

/// How many pieces one job takes.
struct JobSizes {
    std::vector<SizeChance> chances; ///< by pieces; empty: nothing is known

    [[nodiscard]] double mean() const;
    [[nodiscard]] double meanSquare() const;
    [[nodiscard]] static JobSizes ofJobs(const std::vector<double>& pieces); ///< as often as they were seen
    /// 1, 2, 3, ... pieces, each so much rarer than the last that the mean is `mean` >= 1; the tail beyond
    /// one in a thousand is cut off.
    [[nodiscard]] static JobSizes geometric(double mean);
};

/// The two together, the second counting for `share` of it (0..1).
[[nodiscard]] JobSizes mixed(const JobSizes& first, const JobSizes& second, double share);

} // namespace shimledger::planner
