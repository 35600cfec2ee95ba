// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/job_search.h"

#include "planner/substitute/proposal_builder.h"

#include <cmath>
#include <utility>

namespace shimledger::planner {

namespace {

KindCounts countsOf(const SearchFrame& frame, const EvaluatedStack& stack) {
    KindCounts counts;
    for (std::size_t g = 0; g < frame.groups.size(); ++g) {
        const GroupState& state = frame.choices[g]->states[static_cast<std::size_t>(stack.state[g])];
        for (std::size_t k = 0; k < state.counts.size(); ++k) {
            if (state.counts[k] > 0)
                counts[{frame.used, frame.groups[g].od, frame.groups[g].id, k}] += state.counts[k];
        }
    }
    return counts;
}

/// What the groups that may stay as they are would be held at.
std::map<std::pair<std::optional<bool>, std::size_t>, GroupSums> baseSums(const StagedSearch& search) {
    std::map<std::pair<std::optional<bool>, std::size_t>, GroupSums> sums;
    for (const SearchFrame& frame : search.lastFrames()) {
        if (frame.moved_groups > 0) continue;
        for (std::size_t g = 0; g < frame.groups.size(); ++g) {
            const GroupChoices& group = *frame.choices[g];
            if (group.base >= 0 && !(frame.free[g] || search.variesReadings()))
                sums[{frame.used, g}] = group.states[static_cast<std::size_t>(group.base)].sums;
        }
    }
    return sums;
}

} // namespace

JobSearch::JobSearch(SubstituteRequest request, ContestedGroups contested, const SharedPool& pool)
    : m_request(std::move(request)), m_pool(pool), m_kinds(usableStocks(m_request)),
      m_target(computeTargetCurve(m_request).curve.value()) {
    m_terms.contested = std::move(contested);
}

JobAnswer JobSearch::solve(const std::map<KindName, KindTerms>& terms, double seconds,
                           std::function<bool()> progress) {
    m_terms.kinds = terms;
    m_request.limits.seconds = seconds;
    m_request.progress = [asked = std::move(progress)](const SubstituteProgress&) {
        return !asked || asked();
    };
    StagedSearch search(m_request, m_target, StagedSearch::Aim::closest, &m_terms);
    search.run();
    JobAnswer answer;
    const BaseSums base = baseSums(search);
    if (terms.empty()) m_base_alone = base;
    constexpr double same = 1e-9; // the same discs, added in another order
    for (const auto& [group, sums] : base) {
        const auto alone = m_base_alone.find(group);
        answer.may_be_closer =
            answer.may_be_closer || alone == m_base_alone.end() ||
            std::abs(alone->second.thickness_mm - sums.thickness_mm) > same * sums.thickness_mm ||
            std::abs(alone->second.bending_n_mm - sums.bending_n_mm) > same * sums.bending_n_mm;
    }
    const EvaluatedStack* best = search.record().bestIn(SearchGoal::closest);
    if (!best) {
        answer.kind = search.proved() ? JobAnswer::Kind::impossible : JobAnswer::Kind::unknown;
        return answer;
    }
    const SearchFrame& frame = search.frame(best->frame);
    answer.proposal = buildProposals(m_request, m_target, {{&frame, best}}).front();
    if (!answer.proposal) {
        answer.kind = JobAnswer::Kind::unknown;
        return answer;
    }
    answer.kind = JobAnswer::Kind::planned;
    answer.counts = countsOf(frame, *best);
    answer.use = m_pool.useOf(answer.counts, m_kinds, m_request.legs);
    answer.proposal->merits.closest = true;
    if (search.ownTarget()) return answer; // costs nothing
    answer.cost = best->deviation;
    answer.least_cost = search.proved() ? answer.cost : search.lowerBound();
    return answer;
}

} // namespace shimledger::planner
