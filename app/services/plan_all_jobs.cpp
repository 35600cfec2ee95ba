// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/plan_all_jobs.h"

#include "app/services/working_lift.h"
#include "inventory/job_book.h"
#include "inventory/job_valves.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_snapshot.h"
#include "planner/substitute/request_check.h"
#include "planner/substitute/sticky_stop.h"
#include "planner/units/input_error.h"

#include <algorithm>
#include <functional>
#include <map>

namespace shimledger::services {

namespace {

// To prove the last twentieths of a per cent of each of many jobs takes minutes, and the discs scatter by
// more.
constexpr double gap_of_each_job = 1e-3;

} // namespace

AllJobsPlan planAllJobs(inventory::ShopFile& shop, const SearchSettings& settings,
                        const SharedProgressCall& progress, double seconds, std::string_view component) {
    if (!settings.rules.wanted.changesNothing())
        throw InputError(
            "a wanted curve (--wanted) belongs to one stack: it goes with one job, not with all");
    AllJobsPlan all;
    planner::SharedStockRequest request;
    std::vector<planner::SharedJob> found;
    std::map<std::string, JobAsk> asked;
    std::map<std::string, double> lifts_mm; ///< that the jobs' valves work up to
    shop.consistently([&] {
        const inventory::JobBook book(shop);
        const inventory::StockSnapshot snapshot = inventory::stockSnapshot(shop);
        all.revision = snapshot.revision;
        request.common.stock = plannerStock(snapshot, inventory::SupplierList(shop).offers());
        std::vector<inventory::Job> open = book.listStatus(inventory::JobStatus::open);
        if (!component.empty()) {
            open = inventory::componentValves(shop, component);
            std::erase_if(open,
                          [](const inventory::Job& job) { return job.status != inventory::JobStatus::open; });
        }
        for (const inventory::Job& job : open) {
            const auto target = book.stack(job.code, inventory::StackRole::target);
            if (!target) {
                all.left_out.push_back(job.code + " has no target stack");
                continue;
            }
            try {
                found.push_back({job.code, job.priority, plannerStack(job, target->rows), job.legs});
                asked.emplace(job.code, jobAsk(shop, job.code));
                const auto told = settings.lift_is_asked ? std::nullopt : workingLift(shop, job);
                lifts_mm[job.code] = told.value_or(settings.rules.working_lift_mm);
            } catch (const InputError& error) {
                all.left_out.emplace_back(error.what());
            }
        }
    });
    all.rules = request.common.rules = settings.rules;
    for (const auto& [job, lift_mm] : lifts_mm) { // each job is compared as far as its own
        double& longest_mm = request.common.rules.working_lift_mm;
        longest_mm = std::max(longest_mm, lift_mm);
    }
    request.common.limits = settings.limits;
    all.gap = request.common.limits.gap = std::max(request.common.limits.gap, gap_of_each_job);
    request.seconds = seconds;
    request.progress = progress;
    const auto requestOf = [&](const planner::SharedJob& job) {
        planner::SubstituteRequest own = request.common;
        own.target = job.target;
        own.legs = job.legs;
        own.rules.working_lift_mm = lifts_mm.at(job.name);
        return own;
    };
    for (planner::SharedJob& job : found) {
        const planner::SubstituteRequest own = requestOf(job);
        std::string wrong = planner::whatIsWrongWith(own);
        if (!wrong.empty()) {
            wrong.insert(0, job.name + ": ");
            if (found.size() == 1) throw InputError(wrong);
            wrong.pop_back();                         // its full stop
            all.left_out.push_back(std::move(wrong)); // the other jobs want their plan all the same
            continue;
        }
        all.ranges.push_back(comparedRange(own));
        job.compared_lift_mm = all.ranges.back().compared_lift_mm;
        all.asked.push_back(asked.at(job.name));
        all.jobs.push_back(std::move(job));
    }
    if (all.jobs.empty() && !found.empty()) throw InputError(all.left_out.back() + "."); // the rules, then
    request.jobs = all.jobs;
    all.plan = planner::planTogether(request);
    bool stopped = all.plan.stopped;
    const auto watched = planner::stickyStop(request.progress, stopped);
    const std::function<bool()> may_go_on = [&] {
        const planner::SharedStockPlan& plan = all.plan;
        return !watched || watched({plan.searches, plan.sum_of_deviations, plan.lower_bound, plan.seconds});
    };
    for (std::size_t j = 0; j < all.jobs.size(); ++j) {
        const auto& proposal = all.plan.jobs[j].proposal;
        all.warp_results.emplace_back();
        if (!proposal) continue;
        const auto compared = compareWarped(requestOf(all.jobs[j]), all.ranges[j], {*proposal}, may_go_on);
        if (!compared.empty()) {
            all.warp_results.back() = compared.front();
        } else if (stopped) {
            all.ranges[j].sentence += " The plan was stopped, so warping was not compared.";
        }
    }
    return all;
}

std::vector<ReservedJob> reserveAllJobs(inventory::ShopFile& shop, const AllJobsPlan& all) {
    std::vector<ReservedJob> reserved;
    shop.atomically([&] {
        // Nobody else posts in between: where nobody has before, what a drawer cannot give is a fault of the
        // plan, not of others.
        std::int64_t revision = all.revision;
        const bool overtaken = inventory::StockLedger(shop).revision() != revision;
        for (std::size_t j = 0; j < all.jobs.size(); ++j) {
            const auto& proposal = all.plan.jobs[j].proposal;
            if (!proposal) continue;
            const planner::SharedJob& job = all.jobs[j];
            reserved.push_back({job.name, reserveProposal(shop, job.name, *job.target, job.legs, *proposal,
                                                          {revision, all.asked[j], all.rules})});
            if (!overtaken) revision = inventory::StockLedger(shop).revision();
        }
    });
    return reserved;
}

AllPlannedAndReserved planAndReserveAll(inventory::ShopFile& shop, const std::function<AllJobsPlan()>& plan) {
    AllPlannedAndReserved done;
    done.overtaken =
        planAndBook([&] { done.plan = plan(); }, [&] { done.reserved = reserveAllJobs(shop, done.plan); });
    return done;
}

} // namespace shimledger::services
