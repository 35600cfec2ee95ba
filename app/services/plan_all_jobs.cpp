#include "app/services/plan_all_jobs.h"

#include "inventory/job_book.h"
#include "inventory/stock_snapshot.h"
#include "planner/units/input_error.h"

#include <algorithm>

namespace shimledger::services {

namespace {

// To prove the last twentieths of a per cent of each of many jobs takes minutes, and the discs scatter by
// more.
constexpr double gap_of_each_job = 1e-3;

} // namespace

AllJobsPlan planAllJobs(inventory::ShopFile& shop, const SearchSettings& settings) {
    AllJobsPlan all;
    planner::SharedStockRequest request;
    shop.consistently([&] {
        const inventory::JobBook book(shop);
        const inventory::StockSnapshot snapshot = inventory::stockSnapshot(shop);
        all.revision = snapshot.revision;
        request.common.stock = plannerStock(snapshot, inventory::SupplierList(shop).offers());
        for (const inventory::Job& job : book.listStatus(inventory::JobStatus::open)) {
            const auto target = book.stack(job.code, inventory::StackRole::target);
            if (!target) {
                all.left_out.push_back(job.code + " has no target stack");
                continue;
            }
            try {
                request.jobs.push_back({job.code, job.priority, plannerStack(job, target->rows), job.legs});
            } catch (const InputError& error) {
                all.left_out.emplace_back(error.what());
            }
        }
    });
    request.common.rules = settings.rules;
    request.common.limits = settings.limits;
    request.common.limits.gap = std::max(request.common.limits.gap, gap_of_each_job);
    if (settings.progress) {
        request.progress = [&](const planner::SharedProgress& now) {
            return settings.progress({now.searches, now.sum_of_deviations, now.lower_bound, now.seconds});
        };
    }
    all.plan = planner::planTogether(request);
    return all;
}

} // namespace shimledger::services
