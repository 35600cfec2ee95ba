// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/curve_difference.h"

#include "app/services/proposal_text.h"
#include "app/services/stock_to_request.h"
#include "planner/mechanics/disc_group.h"
#include "planner/mechanics/lift_model.h"
#include "planner/substitute/pulled_sums.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

namespace shimledger::services {

namespace {

std::optional<std::vector<double>> pressures(const planner::StackSpec& stack,
                                             const std::vector<planner::GroupSums>& sums,
                                             const std::vector<double>& lifts_mm) {
    const planner::LiftModel model(stack.valve(), planner::groupStack(stack).shapes);
    planner::LiftWorkspace workspace = model.makeWorkspace();
    std::vector<double> found(lifts_mm.size());
    if (!model.pressuresAtLifts(sums, lifts_mm, planner::Regime::large, workspace, found).converged)
        return std::nullopt;
    return found;
}

} // namespace

CurveDifference curveDifference(const inventory::Job& job, const inventory::JobStack& base,
                                const inventory::JobStack& built, const std::vector<planner::Pull>& pulls,
                                double working_lift_mm, const std::vector<double>& at_mm) {
    CurveDifference difference;
    if (base.rows.empty()) {
        difference.sentence = "the job has no target to compare with";
        return difference;
    }
    const std::vector<double> lifts_mm = planner::comparisonLifts(working_lift_mm);
    try {
        const planner::StackSpec target = plannerStack(job, base);
        const planner::StackSpec stack = plannerStack(job, built);
        const auto target_sums = planner::groupStack(target).sums;
        const auto stack_sums =
            pulls.empty() ? planner::groupStack(stack).sums : planner::pulledSums(stack, pulls);
        const auto wanted = pressures(target, target_sums, lifts_mm);
        const auto got = pressures(stack, stack_sums, lifts_mm);
        if (!wanted || !got) {
            difference.sentence = "the curve of one of the stacks cannot be computed over this lift";
            return difference;
        }
        difference.deviation = planner::compareCurves(lifts_mm, *wanted, *got);
        const auto wanted_at = at_mm.empty() ? std::nullopt : pressures(target, target_sums, at_mm);
        const auto got_at = at_mm.empty() ? std::nullopt : pressures(stack, stack_sums, at_mm);
        for (std::size_t i = 0; wanted_at && got_at && i < at_mm.size(); ++i)
            difference.changes.push_back((*got_at)[i] / (*wanted_at)[i] - 1);
    } catch (const InputError& error) {
        difference.sentence = std::string("no curve: ") + error.what();
        return difference;
    }
    difference.sentence = fmt::format(
        "over {:.2f} mm of lift its pressure differs from the target's by at most {} (at {:.2f} mm); at "
        "small lift {}, at full lift {}",
        working_lift_mm, percentText(difference.deviation->signed_deviation),
        difference.deviation->at_lift_mm, percentText(difference.deviation->small_lift_ratio - 1),
        percentText(difference.deviation->full_lift_ratio - 1));
    return difference;
}

} // namespace shimledger::services
