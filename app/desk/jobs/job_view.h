// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/jobs/job_line.h"
#include "app/desk/jobs/stack_table_model.h"
#include "app/desk/stack_view/bench_panel.h"
#include "inventory/job_end.h"
#include "inventory/shop_file.h"
#include "planner/substitute/substitute_result.h"

#include <QStringList>

#include <optional>
#include <stop_token>
#include <string>
#include <vector>

namespace shimledger::desk {

/// All that the job page shows of one job, read in one go.
struct JobView {
    JobLine line;
    std::vector<StackLine> rows; ///< of the target stack, from the piston face
    QStringList shortages;       ///< sentences; empty: everything is there
    QString problem;             ///< why the target is no stack that can be followed; empty: it is
    std::optional<BenchInput> target;
    std::optional<BenchInput> build; ///< the accepted plan, where there is one
    std::optional<ValveInput> valve; ///< that the target works in, where it can be followed
    std::int64_t reservations = 0;   ///< lines still promised to the job
    QStringList reserved_pulls;      ///< those of shims, where to pull them, in walking order
    QStringList built;  ///< of a job that has ended, in sentences: what went in, with the figures of that day
    QStringList wishes; ///< what was wished of its stacks, in sentences
    std::optional<double> working_lift_mm; ///< that its valve works up to; none: nobody has said
    QStringList cautions;
    int component_legs = 1;   ///< the greatest number of a leg of its component
    QStringList other_valves; ///< of its component: "J-104/rebound: rebound, open"

    [[nodiscard]] bool ended() const { return hasEnded(line.job.status); }
};

/// Every job with its situation, the more urgent first. Checks each open job against the drawers, which takes
/// its time in a large shop; a stop leaves the rest unchecked.
[[nodiscard]] std::vector<JobLine> readJobLines(inventory::ShopFile& shop, const std::stop_token& stop = {});
/// The same without checking: an open job's situation is what `before` knew, or told to be on its way.
[[nodiscard]] std::vector<JobLine> quickJobLines(inventory::ShopFile& shop,
                                                 const std::vector<JobLine>& before);

/// Throws InputError where there is no such job.
[[nodiscard]] JobView readJobView(inventory::ShopFile& shop, const std::string& job);

/// Rows of a target that is being edited, against the drawers.
[[nodiscard]] std::vector<StackLine> readDraftLines(inventory::ShopFile& shop, const inventory::Job& job,
                                                    const std::vector<planner::DiscRow>& rows);

/// A proposal as it is laid out on the bench beside the target.
[[nodiscard]] BenchInput benchInputOf(const planner::SubstituteProposal& proposal,
                                      const planner::StackSpec& target, const QString& title);

} // namespace shimledger::desk
