// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/job_search.h"
#include "planner/substitute/shared_stock_plan.h"

#include <chrono>
#include <cstdint>
#include <map>
#include <memory>
#include <set>
#include <utility>
#include <vector>

namespace shimledger::planner {

/// How good a plan is: jobs that get nothing, the most urgent first, then the sum of deviations.
struct PlanWorth {
    std::vector<int> unplanned; ///< by urgency, the most urgent first
    double sum = 0;

    [[nodiscard]] bool betterThan(const PlanWorth& other) const;
};

/// Branch and bound over what each job may take. Where all jobs get the best that their terms allow and there
/// are discs enough, nothing on these terms is better. Where they want more of some discs than there are, one
/// of them must take fewer: each in turn is searched again with less, so that no plan is lost.
class SharedTree {
public:
    using Answer = JobAnswerPointer;

    /// `urgency`: of each job, 0 the most urgent. `order`: jobs, the most urgent first.
    SharedTree(const SharedStockRequest& request, const SharedPool& pool, std::vector<JobSearch>& jobs,
               std::vector<std::size_t> urgency, std::vector<std::size_t> order);

    void run();

    /// By job, nullptr where a job gets nothing. Together they fit.
    [[nodiscard]] const std::vector<Answer>& best() const { return m_best; }
    /// What each job would get with the drawers to itself, on the same rules.
    [[nodiscard]] const std::vector<Answer>& alone() const { return m_alone; }
    [[nodiscard]] const PlanWorth& worth() const { return m_worth; }
    [[nodiscard]] bool proved() const { return m_proved; }
    [[nodiscard]] bool stopped() const { return m_stopped; } ///< by the time or the user
    /// No plan of as many jobs has a smaller sum: what is known to be least, less the gap of the limits for
    /// each.
    [[nodiscard]] double lowerBound() const;
    [[nodiscard]] std::int64_t searches() const { return m_searches; }

private:
    using Terms = std::map<KindName, KindTerms>;
    struct Node {
        std::vector<Terms> terms;
        std::vector<Answer> answers;
        PlanWorth bound;
        std::int64_t serial = 0;
    };
    Answer solve(std::size_t job, const Terms& terms);
    bool mayGoOn();
    [[nodiscard]] double seconds() const;
    [[nodiscard]] PlanWorth boundOf(const std::vector<Answer>& answers) const;
    [[nodiscard]] static bool comesLater(const Node& a, const Node& b);
    [[nodiscard]] std::vector<Terms> alikeSorted(std::vector<Terms> terms) const;
    void push(Node node);
    void open(const PlanWorth& bound);
    void keep(std::vector<Answer> plan);
    void takeWhatFits(const std::vector<Answer>& wanted);
    void planInTurn();
    [[nodiscard]] Terms leftFor(std::size_t job, const PoolUse& taken) const;
    void expand(const Node& node);

    const SharedStockRequest& m_request;
    const SharedPool& m_pool;
    std::vector<JobSearch>& m_jobs;
    std::vector<std::size_t> m_urgency, m_order;
    std::vector<std::size_t> m_twin; ///< of each job the first one that wants the same for as many legs
    std::chrono::steady_clock::time_point m_start = std::chrono::steady_clock::now();
    std::map<std::pair<std::size_t, Terms>, Answer> m_known;
    std::vector<std::vector<Answer>> m_found; ///< by first twin, all that is known to be possible
    std::set<std::vector<Terms>> m_seen;
    std::vector<Node> m_open; ///< a heap
    std::vector<Answer> m_alone, m_best;
    PlanWorth m_worth, m_open_bound;
    const PlanWorth* m_in_hand = nullptr; ///< bound of the node that is being expanded
    bool m_bounds_fail = false;           ///< a limit was set that bounds may not hold for
    bool m_any = false, m_left_open = false, m_proved = false, m_stopped = false;
    std::int64_t m_searches = 0, m_serial = 0;
};

} // namespace shimledger::planner
