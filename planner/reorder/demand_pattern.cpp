// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/reorder/demand_pattern.h"

#include "planner/units/input_error.h"

namespace shimledger::planner {

DemandPattern demandPattern(const std::vector<double>& demand) {
    DemandPattern pattern;
    double sum = 0, squares = 0;
    for (const double pieces : demand) {
        if (!(pieces >= 0)) throw InputError("Demand in a period must be 0 or more.");
        ++pattern.silent;
        if (pieces == 0) continue;
        pattern.silent = 0;
        ++pattern.demands;
        sum += pieces;
        squares += pieces * pieces;
    }
    if (pattern.demands == 0) return pattern;
    const double mean = sum / pattern.demands;
    pattern.interval = static_cast<double>(demand.size()) / pattern.demands;
    pattern.cv2 = squares / pattern.demands / (mean * mean) - 1;
    if (pattern.cv2 < 0) pattern.cv2 = 0; // rounding of equal sizes
    const bool seldom = pattern.interval >= adi_cut_off;
    if (pattern.cv2 >= cv2_cut_off) {
        pattern.demand_class = seldom ? DemandClass::lumpy : DemandClass::erratic;
    } else {
        pattern.demand_class = seldom ? DemandClass::intermittent : DemandClass::smooth;
    }
    return pattern;
}

std::string_view demandClassName(DemandClass demand_class) {
    switch (demand_class) {
    case DemandClass::smooth:
        return "smooth";
    case DemandClass::erratic:
        return "erratic";
    case DemandClass::intermittent:
        return "intermittent";
    case DemandClass::lumpy:
        return "lumpy";
    case DemandClass::none:
        break;
    }
    return "none";
}

} // namespace shimledger::planner
