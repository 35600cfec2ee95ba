// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string_view>
#include <vector>

namespace shimledger::planner {

/// How a part is asked for, by the mean interval between demands (ADI) and the squared coefficient of
/// variation of their sizes (CV2). Cut-offs: Syntetos, Boylan and Croston 2005.
enum class DemandClass {
    none,         ///< nothing was asked for
    smooth,       ///< often, in like sizes
    erratic,      ///< often, in unlike sizes
    intermittent, ///< seldom, in like sizes
    lumpy         ///< seldom, in unlike sizes
};

inline constexpr double adi_cut_off = 1.32;
inline constexpr double cv2_cut_off = 0.49;

struct DemandPattern {
    DemandClass demand_class = DemandClass::none;
    double interval = 0; ///< ADI: periods / periods with demand; 0 without demand
    double cv2 = 0;
    int demands = 0;         ///< periods with demand
    int silent = 0;          ///< periods since the last demand, that period not counted
    int least = 0, most = 0; ///< pieces of the smallest and of the largest job; 0 where jobs are not known
};

/// Demand per period, oldest first. Negative demand raises InputError.
[[nodiscard]] DemandPattern demandPattern(const std::vector<double>& demand);
[[nodiscard]] std::string_view demandClassName(DemandClass demand_class);

} // namespace shimledger::planner
