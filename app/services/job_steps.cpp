// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/job_steps.h"

#include "app/services/plan_job.h"

#include <utility>

namespace shimledger::services {

planner::StepTable jobSteps(inventory::ShopFile& shop, std::string_view job,
                            std::optional<double> working_lift_mm, planner::Regime regime) {
    JobCheck check = checkJob(shop, job);
    const double lift_mm = working_lift_mm.value_or(check.request.rules.working_lift_mm);
    return planner::singleSteps(
        {*check.request.target, check.request.legs, std::move(check.request.stock), lift_mm, regime});
}

} // namespace shimledger::services
