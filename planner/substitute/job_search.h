// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/shared_pool.h"
#include "planner/substitute/staged_search.h"
#include "planner/substitute/substitute_result.h"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::planner {

/// What one job can get on given terms.
struct JobAnswer {
    enum class Kind {
        planned,
        impossible, ///< proved: no stack within the rules
        unknown     ///< none was found before a limit came
    } kind = Kind::unknown;
    /// Its part of the sum: the weighted deviation; nothing where the job gets the discs of its own target,
    /// whatever they were read to measure.
    double cost = 0;
    double least_cost = 0; ///< on these terms nothing costs less, but for the gap of the limits
    KindCounts counts;
    PoolUse use;
    std::optional<SubstituteProposal> proposal;
    /// On these terms a closer stack may, by chance, be possible than with the drawers to itself, so that
    /// bounds from there do not hold: a group that stays as it is gets other readings (where these were too
    /// many to try), or a spacer under the clamp another thickness, which leaves other heights to the rest.
    bool may_be_closer = false;
};

using JobAnswerPointer = std::shared_ptr<const JobAnswer>;

/// Searches one of several jobs again and again, as the others leave more or less of the drawers to it.
class JobSearch {
public:
    /// The request must be a good one, and its target have a curve.
    JobSearch(SubstituteRequest request, ContestedGroups contested, const SharedPool& pool);

    [[nodiscard]] const SubstituteRequest& request() const { return m_request; }
    /// Kinds of the whole drawers; names of kinds mean these.
    [[nodiscard]] const std::vector<UsableStock>& kinds() const { return m_kinds; }

    /// Ask first with no terms. The closest stack that takes no more of the kinds than this. `progress` may
    /// end it.
    [[nodiscard]] JobAnswer solve(const std::map<KindName, KindTerms>& terms, double seconds,
                                  std::function<bool()> progress);

private:
    SubstituteRequest m_request;
    SharedTerms m_terms;
    const SharedPool& m_pool;
    std::vector<UsableStock> m_kinds;
    TargetCurve m_target;
    using BaseSums = std::map<std::pair<std::optional<bool>, std::size_t>, GroupSums>;
    BaseSums
        m_base_alone; ///< of groups that stay as they are, by stock and group: with the drawers to itself
};

} // namespace shimledger::planner
