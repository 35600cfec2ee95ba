// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/job_search.h"

#include <cstdint>
#include <optional>
#include <vector>

namespace shimledger::planner {

/// One job takes no more of a kind than this.
struct JobLimit {
    std::size_t job = 0;
    KindName kind;
    std::int64_t most_per_stack = 0;
};

/// The discs of which the answers together want more than there is, the most for what there is; none where
/// all fit.
[[nodiscard]] std::optional<PoolKey> mostWanted(const std::vector<JobAnswerPointer>& answers,
                                                const SharedPool& pool);

/// Limits of which every plan that the drawers can give keeps to at least one set, and the answers to none.
[[nodiscard]] std::vector<std::vector<JobLimit>> waysOut(const std::vector<JobAnswerPointer>& answers,
                                                         const PoolKey& key,
                                                         const std::vector<JobSearch>& jobs,
                                                         const SharedPool& pool);

} // namespace shimledger::planner
