#include "planner/substitute/request_check.h"

#include <cmath>

namespace shimledger::planner {

std::string whatIsWrongWith(const SubstituteRequest& request) {
    if (!request.target) return "There is no target stack: give the stack that a substitute is wanted for.";
    if (request.legs < 1 || request.legs > 8) {
        return "The number of legs is " + std::to_string(request.legs) + "; it must lie between 1 and 8.";
    }
    const SubstituteRules& rules = request.rules;
    if (!(rules.working_lift_mm > 0 && rules.working_lift_mm <= 5)) {
        return "The working lift must lie above 0 and at most at 5 mm.";
    }
    if (rules.height_tolerance < Length()) return "The height tolerance must not be negative.";
    if (rules.crossover_od_tolerance < Length()) return "The crossover's OD tolerance must not be negative.";
    if (rules.crossover_gap_tolerance < Length())
        return "The crossover's gap tolerance must not be negative.";
    if (rules.od_step < Length()) return "The OD step must not be negative.";
    if (rules.most_other_groups_changed < 0)
        return "The number of other groups that may change must not be negative.";
    if (rules.most_discs_changed && *rules.most_discs_changed < 0) {
        return "The number of discs that may change must not be negative.";
    }
    if (rules.most_discs < 1) return "The number of discs in a stack must be at least 1.";
    if (rules.keep_in_stock < 0) return "The number of discs to keep in stock must not be negative.";
    if (!(rules.low_speed_weight >= 0) || !(rules.high_speed_weight >= 0) ||
        !(rules.low_speed_weight + rules.high_speed_weight > 0) || !std::isfinite(rules.low_speed_weight) ||
        !std::isfinite(rules.high_speed_weight)) {
        return "The weights of low and high speed must not be negative, and one of them must be positive.";
    }
    if (rules.low_speed_lift_mm < 0 || rules.low_speed_lift_mm >= rules.working_lift_mm) {
        return "The lift between low and high speed must lie within the working lift.";
    }
    if (!(request.limits.seconds > 0)) return "The time limit must be positive.";
    if (request.limits.candidates < 1) return "The limit on candidates must be at least 1.";
    if (request.limits.proposals < 1) return "The number of proposals must be at least 1.";
    for (const StockItem& item : request.stock) {
        if (item.thickness <= Length() || item.od <= Length() || item.available < 0 ||
            (item.measured && *item.measured <= Length())) {
            return "Bin " + item.bin +
                   " holds a disc of impossible size or number: OD and thickness must be positive.";
        }
    }
    return {};
}

} // namespace shimledger::planner
