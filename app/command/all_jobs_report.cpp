// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/all_jobs_report.h"

#include "app/command/substitute_report.h"
#include "app/command/verbs.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <ostream>

namespace shimledger::command {

void tellAllJobs(const services::AllJobsPlan& all, std::ostream& out) {
    for (std::size_t j = 0; j < all.plan.jobs.size(); ++j) {
        const planner::SharedJobPlan& job = all.plan.jobs[j];
        if (job.proposal) {
            out << fmt::format("{}: {:.1f} % off. {}\n", job.name, 100 * job.deviation, job.sentence);
            out << "   pull:";
            for (const planner::Pull& pull : job.proposal->pulls) {
                out << fmt::format(" {} {} x {} x {}{};", pull.bin, pull.quantity, pull.od.text(),
                                   pull.thickness.text(2), pull.used ? " used" : "");
            }
            out << "\n   " << all.ranges[j].sentence;
            if (all.warp_results[j]) out << ' ' << all.warp_results[j]->sentence;
            out << '\n';
        } else {
            out << job.name << ": not planned. " << job.sentence << '\n';
        }
    }
    for (const std::string& sentence : all.left_out) out << "Left out: " << sentence << ".\n";
    if (all.jobs.empty()) {
        out << "No open job has a target that could be planned.\n";
        return;
    }
    out << fmt::format("{} of {} jobs planned, deviations add up to {:.1f} %{}, {} searches, {:.2f} s\n",
                       all.plan.jobs.size() - static_cast<std::size_t>(all.plan.unplanned),
                       all.plan.jobs.size(), 100 * all.plan.sum_of_deviations,
                       all.plan.proved
                           ? fmt::format(" (proved least, to {:.1f} % for each job)", 100 * all.gap)
                           : fmt::format(" (at least {:.1f} %)", 100 * all.plan.lower_bound),
                       all.plan.searches, all.plan.seconds);
}

std::string allJobsJson(const services::AllJobsPlan& all,
                        const std::vector<services::ReservedJob>& reserved) {
    nlohmann::json root = {{"jobs", nlohmann::json::array()},
                           {"unplanned", all.plan.unplanned},
                           {"sum_of_deviations", all.plan.sum_of_deviations},
                           {"lower_bound", all.plan.lower_bound},
                           {"proved", all.plan.proved},
                           {"left_out", all.left_out},
                           {"searches", all.plan.searches},
                           {"seconds", all.plan.seconds}};
    for (std::size_t j = 0; j < all.plan.jobs.size(); ++j) {
        const planner::SharedJobPlan& job = all.plan.jobs[j];
        nlohmann::json told = {{"job", job.name},
                               {"planned", job.proposal.has_value()},
                               {"status_alone", planner::substituteStatusName(job.alone)},
                               {"blocked_by", job.blocked_by},
                               {"sentence", job.sentence}};
        if (job.deviation_alone) told["max_deviation_alone"] = *job.deviation_alone;
        told["compared"] = all.ranges[j].sentence;
        if (all.warp_results[j]) told["warping"] = all.warp_results[j]->sentence;
        if (job.proposal) told["proposal"] = nlohmann::json::parse(proposalJsonText(*job.proposal));
        root["jobs"].push_back(std::move(told));
    }
    for (const services::ReservedJob& job : reserved) {
        root["reserved"].push_back({{"job", job.job},
                                    {"discs", job.reserved.discs},
                                    {"batch", job.reserved.batch.batch},
                                    {"missing", job.reserved.missing}});
    }
    return root.dump(2) + "\n";
}

int exitCodeOf(const services::AllJobsPlan& all) {
    const bool impossible = std::any_of(all.plan.jobs.begin(), all.plan.jobs.end(), [](const auto& job) {
        return job.alone == planner::SubstituteStatus::nothing_possible;
    });
    return impossible ? exit_impossible : all.plan.proved ? exit_done : exit_limit;
}

} // namespace shimledger::command
