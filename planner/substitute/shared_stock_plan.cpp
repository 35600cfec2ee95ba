// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/shared_stock_plan.h"

#include "planner/substitute/proposal_recheck.h"
#include "planner/substitute/proposal_scatter.h"
#include "planner/substitute/request_check.h"
#include "planner/substitute/shared_tree.h"
#include "planner/substitute/sticky_stop.h"
#include "planner/substitute/substitute_search.h"
#include "planner/substitute/target_groups.h"
#include "planner/units/input_error.h"

#include <algorithm>
#include <chrono>
#include <map>
#include <stdexcept>
#include <tuple>

namespace shimledger::planner {

namespace {

double secondsSince(std::chrono::steady_clock::time_point start) {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

SubstituteRequest requestOf(const SharedStockRequest& request, const SharedJob& job) {
    SubstituteRequest own = request.common;
    own.target = job.target;
    own.legs = job.legs;
    own.progress = nullptr;
    if (job.compared_lift_mm && *job.compared_lift_mm < own.rules.working_lift_mm)
        own.rules = rulesUpTo(own.rules, *job.compared_lift_mm);
    return own;
}

std::vector<std::size_t> urgencies(const std::vector<SharedJob>& jobs) {
    std::vector<int> priorities;
    priorities.reserve(jobs.size());
    for (const SharedJob& job : jobs) priorities.push_back(job.priority);
    std::sort(priorities.rbegin(), priorities.rend());
    priorities.erase(std::unique(priorities.begin(), priorities.end()), priorities.end());
    std::vector<std::size_t> urgency;
    for (const SharedJob& job : jobs) {
        const auto place = std::find(priorities.begin(), priorities.end(), job.priority);
        urgency.push_back(static_cast<std::size_t>(place - priorities.begin()));
    }
    return urgency;
}

/// By job: groups of which all targets together want more of some size than there is.
std::vector<ContestedGroups> contestedGroups(const std::vector<SharedJob>& jobs, const SharedPool& pool) {
    std::map<std::tuple<Length, Length, Length>, std::int64_t> wanted; // OD, bore, thickness
    const auto forEachRow = [&](const SharedJob& job, auto use) {
        const std::vector<TargetGroup> groups = targetGroups(*job.target);
        for (std::size_t g = 0; g < groups.size(); ++g) {
            for (int row = groups[g].first_row; row < groups[g].first_row + groups[g].row_count; ++row) {
                const DiscRow& discs = job.target->rows()[static_cast<std::size_t>(row)];
                use(g, std::tuple(groups[g].od, groups[g].id, discs.thickness),
                    static_cast<std::int64_t>(discs.count) * job.legs);
            }
        }
    };
    for (const SharedJob& job : jobs)
        forEachRow(job, [&](std::size_t, const auto& size, std::int64_t pieces) { wanted[size] += pieces; });
    std::vector<ContestedGroups> contested(jobs.size());
    for (std::size_t j = 0; j < jobs.size(); ++j) {
        for (const UsableStock& stock : pool.stocks()) {
            std::vector<bool>& groups = contested[j][stock.usedDiscs()];
            groups.assign(targetGroups(*jobs[j].target).size(), false);
            forEachRow(jobs[j], [&](std::size_t g, const auto& size, std::int64_t) {
                if (wanted[size] > std::apply([&](auto... s) { return stock.pieces(s...); }, size))
                    groups[g] = true;
            });
        }
    }
    return contested;
}

/// Loud where a proposal is not what it says: a fault of ours.
void mustPass(const SubstituteRequest& request, const SubstituteProposal& proposal) {
    ProposalRecheck recheck(request);
    const std::vector<std::string> faults = recheck.faultsOf(proposal);
    if (!faults.empty()) throw std::logic_error("a proposal failed its re-check: " + faults.front());
}

/// The chosen stacks again, from the bins that their discs are dealt from; checked like any proposal.
SubstituteProposal proposalFrom(JobSearch& job, const JobAnswer& chosen, SharedPool& pool) {
    std::map<KindName, KindTerms> terms = pool.deal(chosen.counts, job.kinds(), job.request().legs);
    for (const UsableStock& stock : job.kinds()) {
        for (const KindName& name : stock.names()) terms.try_emplace(name); // none of the rest
    }
    constexpr double unlimited = 1e9; // it has next to nothing to choose from
    JobAnswer dealt = job.solve(terms, unlimited, {});
    if (dealt.kind != JobAnswer::Kind::planned)
        throw std::logic_error("a planned stack cannot be built from the discs that were dealt to it");
    mustPass(job.request(), *dealt.proposal);
    std::vector<SubstituteProposal> proposals{std::move(*dealt.proposal)};
    judgeScatter(job.request(), proposals);
    return std::move(proposals.front());
}

/// Jobs whose discs, taken together, `job` would need for what it would get alone.
std::vector<std::string> blockersOf(std::size_t job, const SharedTree& tree, const SharedPool& pool,
                                    const std::vector<SharedJob>& jobs) {
    PoolUse taken;
    for (std::size_t other = 0; other < jobs.size(); ++other) {
        if (other != job && tree.best()[other]) addUse(taken, tree.best()[other]->use);
    }
    std::vector<std::string> names;
    for (std::size_t other = 0; other < jobs.size(); ++other) {
        if (other == job || !tree.best()[other]) continue;
        const PoolUse& own = tree.alone()[job]->use;
        const bool blocks = std::any_of(own.begin(), own.end(), [&](const auto& wanted) {
            const auto of_other = tree.best()[other]->use.find(wanted.first);
            return of_other != tree.best()[other]->use.end() &&
                   wanted.second + taken[wanted.first] > pool.total(wanted.first);
        });
        if (blocks) names.push_back(jobs[other].name);
    }
    return names;
}

/// Throws where a request is a bad one, or its target has no curve.
void checkRequests(const SharedStockRequest& request) {
    for (const SharedJob& job : request.jobs) {
        const SubstituteRequest own = requestOf(request, job);
        const std::string wrong = whatIsWrongWith(own);
        if (!wrong.empty()) throw InputError(job.name + ": " + wrong);
        const TargetCurveOrReason target = computeTargetCurve(own);
        if (!target.curve)
            throw InputError(job.name + ": The target's own curve cannot be computed: " + target.reason +
                             ".");
    }
}

void tellAlone(SharedJobPlan& planned, const JobAnswer& alone) {
    switch (alone.kind) {
    case JobAnswer::Kind::planned:
        planned.alone = alone.least_cost < alone.cost ? SubstituteStatus::found_not_proved
                                                      : SubstituteStatus::proved_best;
        planned.deviation_alone = alone.proposal->deviation.max_deviation;
        return;
    case JobAnswer::Kind::impossible:
        planned.alone = SubstituteStatus::nothing_possible;
        return;
    case JobAnswer::Kind::unknown:
        planned.alone = SubstituteStatus::found_not_proved;
        return;
    }
}

/// A job that was left out may still find something by itself in what the bins really hold now.
std::optional<SubstituteProposal> fromWhatIsLeft(SubstituteRequest own,
                                                 const std::vector<SharedJobPlan>& plans, double seconds) {
    if (seconds <= 0) return {};
    for (const SharedJobPlan& plan : plans) {
        if (!plan.proposal) continue;
        for (const Pull& pull : plan.proposal->pulls) {
            const auto lot = std::find_if(own.stock.begin(), own.stock.end(), [&](const StockItem& item) {
                return item.bin == pull.bin && item.part == pull.part && item.od == pull.od &&
                       item.thickness == pull.thickness && item.measured == pull.measured &&
                       item.used == pull.used && item.available >= pull.quantity;
            });
            if (lot == own.stock.end()) return {}; // one lot in two lines: it cannot be told which
            lot->available -= pull.quantity;
        }
    }
    own.limits.seconds = std::min(own.limits.seconds, seconds);
    own.limits.proposals = 1;
    SubstituteResult result = findSubstitutes(own);
    if (result.proposals.empty()) return {};
    return std::move(result.proposals.front());
}

std::string sentenceOf(const SharedJobPlan& planned, SubstituteRequest own, double seconds,
                       const std::function<bool()>& may_go_on) {
    if (planned.alone == SubstituteStatus::nothing_possible && !planned.proposal) {
        const char* const unexplained =
            "No stack within the rules can be built from the drawers; the plan was "
            "stopped before the cause was found.";
        if (!may_go_on()) return unexplained;
        own.limits.seconds = std::max(1.0, std::min(own.limits.seconds, seconds));
        const SubstituteResult alone = findSubstitutes(own);
        if (!alone.proposals.empty()) return "Nothing was found for it beside the other jobs.";
        return may_go_on() ? alone.message : unexplained;
    }
    std::string names;
    for (const std::string& name : planned.blocked_by) names += (names.empty() ? "" : ", ") + name;
    if (!planned.proposal) {
        return names.empty() ? may_go_on() ? "Nothing was found for it in the time given."
                                           : "Nothing was found for it before the plan was stopped."
                             : "Nothing is left to build it from: the discs go to " + names + ".";
    }
    if (!planned.deviation_alone) {
        return may_go_on() ? "What it would get alone was not found out in the time given."
                           : "What it would get alone was not found out before the plan was stopped.";
    }
    if (planned.deviation > *planned.deviation_alone + own.limits.gap) {
        return names.empty() ? "With more time it might come closer."
                             : "It would come closer without " + names + ".";
    }
    return planned.alone == SubstituteStatus::proved_best
               ? "It gets what it would get alone."
               : "It gets what was found for it alone; with more time there might be a closer one.";
}

} // namespace

SharedStockPlan planTogether(const SharedStockRequest& request) {
    const auto start = std::chrono::steady_clock::now();
    checkRequests(request);
    const SharedPool pool(request.common);
    std::vector<ContestedGroups> contested = contestedGroups(request.jobs, pool);
    std::vector<JobSearch> jobs;
    std::vector<std::size_t> order;
    for (std::size_t job = 0; job < request.jobs.size(); ++job) {
        jobs.emplace_back(requestOf(request, request.jobs[job]), std::move(contested[job]), pool);
        order.push_back(job);
    }
    const std::vector<std::size_t> urgency = urgencies(request.jobs);
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return urgency[a] < urgency[b]; });
    SharedStockPlan plan;
    SharedStockRequest watched = request;
    watched.progress = stickyStop(request.progress, plan.stopped);
    SharedTree tree(watched, pool, jobs, urgency, order);
    tree.run();
    // What comes after the search may take as long as it: each job's own explanation is a search again.
    const std::function<bool()> may_go_on = [&] {
        return !watched.progress || watched.progress({plan.searches, plan.sum_of_deviations, plan.lower_bound,
                                                      secondsSince(start)});
    };

    plan.proved = tree.proved();
    plan.lower_bound = tree.lowerBound();
    plan.sum_of_deviations = tree.worth().sum;
    plan.searches = tree.searches();
    plan.jobs.resize(request.jobs.size());
    SharedPool bins(request.common);
    for (const std::size_t job : order) {
        SharedJobPlan& planned = plan.jobs[job];
        planned.name = request.jobs[job].name;
        tellAlone(planned, *tree.alone()[job]);
        if (tree.best()[job]) planned.proposal = proposalFrom(jobs[job], *tree.best()[job], bins);
    }
    const auto secondsLeft = [&] { return tree.stopped() ? 0 : request.seconds - secondsSince(start); };
    for (const std::size_t job : order) {
        SharedJobPlan& planned = plan.jobs[job];
        SubstituteRequest own = requestOf(request, request.jobs[job]);
        own.progress = [&](const SubstituteProgress&) { return may_go_on(); };
        if (!planned.proposal && planned.alone != SubstituteStatus::nothing_possible) {
            if (may_go_on()) planned.proposal = fromWhatIsLeft(own, plan.jobs, secondsLeft());
            if (planned.proposal) {
                plan.sum_of_deviations += planned.proposal->deviation.max_deviation;
                plan.proved = false; // the rules of the tree know no such plan
                plan.lower_bound = 0;
            }
        }
        plan.unplanned += !planned.proposal;
        if (planned.proposal) planned.deviation = planned.proposal->deviation.max_deviation;
        const bool loses = !planned.proposal || !planned.deviation_alone ||
                           planned.deviation > *planned.deviation_alone + request.common.limits.gap;
        if (loses) planned.blocked_by = blockersOf(job, tree, pool, request.jobs);
        planned.sentence = sentenceOf(planned, own, secondsLeft(), may_go_on);
    }
    plan.seconds = secondsSince(start);
    return plan;
}

} // namespace shimledger::planner
