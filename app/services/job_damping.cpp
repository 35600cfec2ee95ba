// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/job_damping.h"

#include "app/services/built_job.h"
#include "app/services/pick_list.h"
#include "app/services/warp_check.h"
#include "inventory/job_book.h"
#include "inventory/stock_ledger.h"
#include "planner/units/input_error.h"

namespace shimledger::services {

namespace {

using inventory::Job;

JobDamping ofTarget(inventory::ShopFile& shop, const Job& job, const planner::StackSpec& target) {
    KnownFlow known = knownFlow(shop, job, target);
    return {{target, std::move(known.flow)}, {}, {}, known.stroke, std::move(known.assumed),
            std::move(known.fitted_to)};
}

/// The rows of a job's book with the discs that were pulled or are reserved for them, as measured.
planner::StackSpec builtSpec(const Job& job, const BuiltJob& built, std::vector<planner::Pull> pulls) {
    const planner::StackSpec nominal = plannerStack(job, builtStack(built));
    return pulledStack(nominal, asProposal(nominal, std::move(pulls)));
}

} // namespace

JobDamping jobDamping(inventory::ShopFile& shop, std::string_view code) {
    std::optional<JobDamping> damping;
    shop.consistently([&] {
        const Job job = inventory::JobBook(shop).get(code);
        const BuiltJob built = builtJob(shop, code);
        if (built.target.empty()) throw InputError("job '" + job.code + "' has no target stack yet");
        damping = ofTarget(shop, job, plannerStack(job, built.target));
        const bool pulled = built.discs() > 0;
        if (!built.accepted && !pulled) return;
        const bool reserved = !inventory::StockLedger(shop).reservationsOf(code).empty();
        std::vector<planner::Pull> pulls = builtPulls(built);
        if (!pulled && reserved) pulls = shimPulls(shop, pickList(shop, code));
        damping->substitute = {builtSpec(job, built, std::move(pulls)), damping->target.flow};
        damping->substitute_name = pulled ? "what was built" : "the accepted stack";
    });
    return std::move(*damping);
}

JobDamping proposalDamping(inventory::ShopFile& shop, const JobPlan& plan, std::size_t proposal) {
    const std::vector<planner::SubstituteProposal>& proposals = plan.result.proposals;
    if (proposal >= proposals.size()) {
        throw InputError("there is no proposal " + std::to_string(proposal + 1) + " for job '" + plan.job +
                         "': the search found " + std::to_string(proposals.size()));
    }
    const Job job = inventory::JobBook(shop).get(plan.job);
    JobDamping damping = ofTarget(shop, job, *plan.request.target);
    damping.substitute = {pulledStack(*plan.request.target, proposals[proposal]), damping.target.flow};
    damping.substitute_name = "proposal " + std::to_string(proposal + 1);
    return damping;
}

} // namespace shimledger::services
