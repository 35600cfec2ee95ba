// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/plan_all_jobs.h"

#include <iosfwd>
#include <string>
#include <vector>

namespace shimledger::command {

/// The plan of all open jobs for people, and as JSON.
void tellAllJobs(const services::AllJobsPlan& all, std::ostream& out);
[[nodiscard]] std::string allJobsJson(const services::AllJobsPlan& all,
                                      const std::vector<services::ReservedJob>& reserved);
/// 0 proved, 3 a job that nothing can build, 4 otherwise.
[[nodiscard]] int exitCodeOf(const services::AllJobsPlan& all);

} // namespace shimledger::command
