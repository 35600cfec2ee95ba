// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/plan_job.h"

#include "app/services/job_needs.h"
#include "app/services/working_lift.h"
#include "inventory/job_book.h"
#include "inventory/job_end.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_snapshot.h"
#include "planner/substitute/sticky_stop.h"
#include "planner/substitute/substitute_search.h"
#include "planner/units/input_error.h"

#include <set>
#include <utility>

namespace shimledger::services {

namespace {

void mustBeAlive(const inventory::Job& job) {
    if (hasEnded(job.status)) {
        throw InputError(job.code + " is " + std::string(inventory::jobStatusName(job.status)) +
                         ": only a job that has not ended can be planned");
    }
}

std::vector<ConsumableShortage> consumablesShort(inventory::ShopFile& shop, std::string_view job,
                                                 const inventory::StockSnapshot& snapshot) {
    std::vector<ConsumableShortage> shortages;
    for (const ConsumableNeed& need : consumableNeeds(shop, job)) {
        std::int64_t available = 0;
        for (const auto& lot : snapshot.lots) {
            if (lot.part == need.part.code && lot.condition == inventory::Condition::fresh) {
                available += lot.available();
            }
        }
        if (available >= need.open()) continue;
        shortages.push_back(
            {need.part.code, need.open(), available,
             "wanted " + quantityText(need.open(), need.part) + ", available " + std::to_string(available)});
    }
    return shortages;
}

/// The job and its target, both fit to be planned.
struct PlannableJob {
    inventory::Job job;
    std::vector<inventory::StackRow> target;
};
PlannableJob plannableJob(inventory::ShopFile& shop, std::string_view code) {
    const inventory::JobBook book(shop);
    inventory::Job job = book.get(code);
    mustBeAlive(job);
    auto target = book.stack(code, inventory::StackRole::target);
    if (!target) {
        throw InputError(job.code + " has no target stack: give it one before it is planned");
    }
    return {std::move(job), std::move(target->rows)};
}

/// What the job asks for, each part once.
std::vector<std::string> partsAskedFor(inventory::ShopFile& shop, const PlannableJob& asking) {
    std::set<std::string> parts;
    for (const inventory::StackRow& row : asking.target) {
        const auto shims = shimsOfSize(shop, row.od, asking.job.valve.shim_id, row.thickness);
        parts.insert(shims.begin(), shims.end());
    }
    for (const auto& consumable : inventory::JobBook(shop).consumables(asking.job.code))
        parts.insert(consumable.part);
    return {parts.begin(), parts.end()};
}

} // namespace

JobShortages jobShortages(inventory::ShopFile& shop, std::string_view code) {
    JobShortages found;
    shop.consistently([&] {
        const PlannableJob asking = plannableJob(shop, code);
        const auto snapshot = inventory::stockSnapshotOf(shop, partsAskedFor(shop, asking));
        const auto own = inventory::StockLedger(shop).reservationsOf(code);
        found.shortages = planner::checkAgainstStock(
            substituteRequest(asking.job, asking.target, plannerStock(snapshot, {}, own), {}));
        found.consumables_short = consumablesShort(shop, code, snapshot);
    });
    return found;
}

JobCheck checkJob(inventory::ShopFile& shop, std::string_view code, const SearchSettings& settings) {
    JobCheck check;
    shop.consistently([&] {
        const PlannableJob asking = plannableJob(shop, code);
        const inventory::StockSnapshot snapshot = inventory::stockSnapshot(shop);
        check.job = asking.job.code;
        check.revision = snapshot.revision;
        check.asked = jobAsk(shop, code);
        check.request = substituteRequest(asking.job, asking.target,
                                          plannerStock(snapshot, inventory::SupplierList(shop).offers(),
                                                       inventory::StockLedger(shop).reservationsOf(code)),
                                          settings);
        if (!settings.lift_is_asked) {
            double& lift_mm = check.request.rules.working_lift_mm;
            lift_mm = workingLift(shop, asking.job).value_or(lift_mm);
        }
        check.flow = knownFlow(shop, asking.job, *check.request.target);
        check.consumables_short = consumablesShort(shop, code, snapshot);
    });
    check.shortages = planner::checkAgainstStock(check.request);
    return check;
}

JobPlan planJob(inventory::ShopFile& shop, std::string_view job, const SearchSettings& settings) {
    JobPlan plan;
    static_cast<JobCheck&>(plan) = checkJob(shop, job, settings);
    planner::SubstituteRequest watched = plan.request;
    bool stopped = false;
    watched.progress = planner::stickyStop(plan.request.progress, stopped);
    CheckedSubstitutes checked = findCheckedSubstitutes(watched);
    plan.result = std::move(checked.result);
    plan.range = std::move(checked.range);
    plan.warp_results = std::move(checked.comparisons);
    if (plan.flow.flow.click) {
        for (const planner::SubstituteProposal& proposal : plan.result.proposals)
            plan.clicks.push_back(clickAdvice(*plan.request.target, plan.flow.flow, proposal));
    }
    if (plan.result.status != planner::SubstituteStatus::nothing_possible) return plan;
    if (!stopped) plan.purchase = purchaseAdvice(shop, plan.job, watched);
    if (stopped && plan.purchase.pieces.empty())
        plan.purchase.sentence =
            "The search was stopped, so no purchase was found that would make it possible.";
    return plan;
}

} // namespace shimledger::services
