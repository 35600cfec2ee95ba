// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/request_check.h"

#include "planner/substitute/target_groups.h"

#include <algorithm>
#include <cmath>

namespace shimledger::planner {

namespace {

/// What the target and the drawers make impossible to ask.
std::string whatIsWrongWithTarget(const SubstituteRequest& request) {
    const StackSpec& target = *request.target;
    const std::vector<TargetGroup> groups = targetGroups(target);
    for (const TargetGroup& group : groups) {
        const Material& first = target.rows()[static_cast<std::size_t>(group.first_row)].material;
        for (int row = group.first_row; row < group.first_row + group.row_count; ++row) {
            if (target.rows()[static_cast<std::size_t>(row)].material == first) continue;
            return "The discs of " + group.od.text() + " mm OD that lie together (rows " +
                   std::to_string(group.first_row + 1) + " to " +
                   std::to_string(group.first_row + group.row_count) +
                   ") are of different materials; substitutes are sought for groups of one material.";
        }
    }
    if (request.rules.most_discs < static_cast<int>(groups.size())) {
        return "The rules allow " + std::to_string(request.rules.most_discs) +
               " discs in a stack, but the target has " + std::to_string(groups.size()) +
               " groups of one OD, each of which needs at least one disc.";
    }
    const auto rows = static_cast<int>(target.rows().size());
    for (const int row : request.rules.rows_that_may_move) {
        if (row >= 1 && row <= rows) continue;
        return "Row " + std::to_string(row) + " is to move, but the target has the rows 1 to " +
               std::to_string(rows) + ".";
    }
    for (const int row : request.rules.rows_that_stay) {
        if (row < 1 || row > rows) {
            return "Row " + std::to_string(row) + " is to stay, but the target has the rows 1 to " +
                   std::to_string(rows) + ".";
        }
    }
    for (const TargetGroup& group : groups) {
        for (const int row : request.rules.rows_that_may_move) {
            const bool here = row > group.first_row && row <= group.first_row + group.row_count;
            if (here && staysAsItIs(request.rules, group)) {
                return "Row " + std::to_string(row) +
                       " is to move, but it lies in a group of one OD with a row that is to stay.";
            }
        }
    }
    const TargetGroup& face = groups.front();
    if (odReach(request.rules, face) > Length()) return {};
    const bool held = std::any_of(request.stock.begin(), request.stock.end(), [&](const StockItem& item) {
        return item.od == face.od && item.id == face.id;
    });
    if (!held) {
        return "No bin holds discs of the face's OD, " + face.od.text() + " mm with bore " + face.id.text() +
               " mm, and the face's OD is fixed.";
    }
    return {};
}

} // namespace

std::string whatIsWrongWith(const SubstituteRequest& request) {
    if (!request.target) return "There is no target stack: give the stack that a substitute is wanted for.";
    if (request.legs < 1 || request.legs > 8) {
        return "The number of legs is " + std::to_string(request.legs) + "; it must lie between 1 and 8.";
    }
    const SubstituteRules& rules = request.rules;
    if (!(rules.working_lift_mm > 0 && rules.working_lift_mm <= 5)) {
        return "The working lift must lie above 0 and at most at 5 mm.";
    }
    if (const double last_mm = rules.wanted.points().back().lift_mm; last_mm > rules.working_lift_mm + 1e-9) {
        return "The wanted curve goes on to a lift of " + liftText(last_mm) +
               ", beyond the working lift of " + liftText(rules.working_lift_mm) +
               ", where nothing is compared.";
    }
    if (rules.height_tolerance < Length()) return "The height tolerance must not be negative.";
    if (rules.crossover_od_tolerance < Length()) return "The crossover's OD tolerance must not be negative.";
    if (rules.crossover_gap_tolerance < Length())
        return "The crossover's gap tolerance must not be negative.";
    if (rules.clamp_od_step < Length()) return "The step of the clamp's OD must not be negative.";
    if (rules.od_step < Length()) return "The OD step must not be negative.";
    if ((!rules.keep_every_od || !rules.face_od_fixed || !rules.rows_that_may_move.empty()) &&
        rules.od_step == Length()) {
        return "The rules let ODs move, but by a step of 0 mm: give the step, or keep every OD.";
    }
    if (rules.most_other_groups_changed < 0)
        return "The number of other groups that may change must not be negative.";
    if (rules.most_discs_changed && *rules.most_discs_changed < 0) {
        return "The number of discs that may change must not be negative.";
    }
    if (rules.most_groups_moved < 0)
        return "The number of groups that may stand at another OD must not be negative.";
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
    if (rules.low_speed_lift_mm == 0 && rules.low_speed_weight != rules.high_speed_weight) {
        return "Low and high speed are weighted differently, but the lift between them is not given.";
    }
    if (!(rules.most_choice_deviation >= 0) || !std::isfinite(rules.most_choice_deviation)) {
        return "The most that other choices may deviate must not be negative.";
    }
    if (!(request.limits.gap >= 0 && request.limits.gap < 1)) {
        return "The gap of the proof must lie between 0 and 1 (it is a part of the pressure).";
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
    return whatIsWrongWithTarget(request);
}

SubstituteRules rulesUpTo(SubstituteRules rules, double lift_mm) {
    rules.working_lift_mm = lift_mm;
    rules.wanted = rules.wanted.upTo(lift_mm);
    if (rules.low_speed_lift_mm >= lift_mm) {
        rules.low_speed_lift_mm = 0;
        rules.low_speed_weight = rules.high_speed_weight = 1;
    }
    return rules;
}

} // namespace shimledger::planner
