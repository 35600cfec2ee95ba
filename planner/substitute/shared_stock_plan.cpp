#include "planner/substitute/shared_stock_plan.h"

#include "planner/substitute/substitute_search.h"
#include "planner/units/input_error.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <map>
#include <tuple>
#include <utility>

namespace shimledger::planner {

namespace {

/// A lot in a bin, as pulls and stock name it.
using LotKey = std::tuple<std::string, std::string, Length, Length, std::optional<Length>, bool>;
using Pieces = std::map<LotKey, std::int64_t>;

constexpr double same_sum = 1e-9;

LotKey keyOf(const StockItem& item) {
    return {item.bin, item.part, item.od, item.thickness, item.measured, item.used};
}
LotKey keyOf(const Pull& pull) {
    return {pull.bin, pull.part, pull.od, pull.thickness, pull.measured, pull.used};
}

bool fits(const SubstituteProposal& proposal, const Pieces& left) {
    return std::all_of(proposal.pulls.begin(), proposal.pulls.end(), [&](const Pull& pull) {
        const auto lot = left.find(keyOf(pull));
        return lot != left.end() && lot->second >= pull.quantity;
    });
}

void take(const SubstituteProposal& proposal, Pieces& left, std::int64_t sign) {
    for (const Pull& pull : proposal.pulls) left[keyOf(pull)] -= sign * pull.quantity;
}

bool sharesLots(const SubstituteProposal& a, const SubstituteProposal& b) {
    return std::any_of(a.pulls.begin(), a.pulls.end(), [&](const Pull& pull) {
        return std::any_of(b.pulls.begin(), b.pulls.end(),
                           [&](const Pull& other) { return keyOf(pull) == keyOf(other); });
    });
}

/// How good a combination is: unplanned jobs by priority, the most urgent first, then the sum.
struct Worth {
    std::vector<int> unplanned;
    double sum = 0;

    [[nodiscard]] bool betterThan(const Worth& other) const {
        return unplanned != other.unplanned ? unplanned < other.unplanned : sum < other.sum - same_sum;
    }
};

class SharedSearch {
public:
    explicit SharedSearch(const SharedStockRequest& request)
        : m_request(request), m_options(request.jobs.size()) {
        for (const StockItem& item : request.common.stock)
            m_left[keyOf(item)] += std::max<std::int64_t>(0, item.available);
        for (const SharedJob& job : request.jobs) m_priorities.push_back(job.priority);
        std::sort(m_priorities.rbegin(), m_priorities.rend());
        m_priorities.erase(std::unique(m_priorities.begin(), m_priorities.end()), m_priorities.end());
        for (std::size_t j = 0; j < request.jobs.size(); ++j) m_order.push_back(j);
        std::stable_sort(m_order.begin(), m_order.end(), [&](std::size_t a, std::size_t b) {
            return request.jobs[a].priority > request.jobs[b].priority;
        });
    }

    SharedStockPlan run();

private:
    SubstituteResult searchFor(std::size_t job, const Pieces& left);
    void addOptions(std::size_t job, const SubstituteResult& result);
    void searchWhatOthersLeave();
    void planInTurn();
    void choose(std::size_t place, Worth worth);
    void explain(SharedStockPlan& plan) const;

    const SharedStockRequest& m_request;
    Pieces m_left;
    std::vector<int> m_priorities;
    std::vector<std::size_t> m_order; ///< jobs, the most urgent first
    std::vector<SubstituteResult> m_alone;
    std::vector<std::vector<SubstituteProposal>> m_options; ///< by job, closest first
    std::vector<int> m_chosen, m_best;                      ///< option by job, -1: none
    Worth m_best_worth;
    bool m_any = false;
};

SubstituteResult SharedSearch::searchFor(std::size_t job, const Pieces& left) {
    SubstituteRequest request = m_request.common;
    request.target = m_request.jobs[job].target;
    request.legs = m_request.jobs[job].legs;
    Pieces rest = left;
    for (StockItem& item : request.stock) {
        std::int64_t& pieces = rest[keyOf(item)];
        item.available = std::min(std::max<std::int64_t>(0, item.available), pieces);
        pieces -= item.available;
    }
    return findSubstitutes(request);
}

void SharedSearch::addOptions(std::size_t job, const SubstituteResult& result) {
    std::vector<SubstituteProposal>& options = m_options[job];
    options.insert(options.end(), result.proposals.begin(), result.proposals.end());
    std::stable_sort(options.begin(), options.end(),
                     [](const SubstituteProposal& a, const SubstituteProposal& b) {
                         return a.deviation.max_deviation < b.deviation.max_deviation;
                     });
}

/// Where two jobs want the same lots, each is searched again without the other's first choice.
void SharedSearch::searchWhatOthersLeave() {
    for (std::size_t a = 0; a < m_alone.size(); ++a) {
        for (std::size_t b = 0; b < m_alone.size(); ++b) {
            if (a == b || m_alone[a].proposals.empty() || m_alone[b].proposals.empty()) continue;
            const SubstituteProposal& other = m_alone[b].proposals.front();
            if (!sharesLots(m_alone[a].proposals.front(), other)) continue;
            Pieces left = m_left;
            take(other, left, 1);
            if (!fits(m_alone[a].proposals.front(), left)) addOptions(a, searchFor(a, left));
        }
    }
}

/// Each job in turn takes the best of what is left, the most urgent first: always a plan to fall back on.
void SharedSearch::planInTurn() {
    Pieces left = m_left;
    for (const std::size_t job : m_order) {
        const auto option =
            std::find_if(m_options[job].begin(), m_options[job].end(),
                         [&](const SubstituteProposal& proposal) { return fits(proposal, left); });
        if (option != m_options[job].end()) {
            take(*option, left, 1);
            continue;
        }
        const SubstituteResult result = searchFor(job, left);
        if (result.proposals.empty()) continue;
        take(result.proposals.front(), left, 1);
        addOptions(job, result);
    }
}

void SharedSearch::choose(std::size_t place, Worth worth) {
    if (m_any && !worth.betterThan(m_best_worth)) return; // it only gets worse from here
    if (place == m_order.size()) {
        m_any = true;
        m_best = m_chosen;
        m_best_worth = std::move(worth);
        return;
    }
    const std::size_t job = m_order[place];
    for (std::size_t option = 0; option < m_options[job].size(); ++option) {
        const SubstituteProposal& proposal = m_options[job][option];
        if (!fits(proposal, m_left)) continue;
        take(proposal, m_left, 1);
        m_chosen[job] = static_cast<int>(option);
        Worth with = worth;
        with.sum += proposal.deviation.max_deviation;
        choose(place + 1, std::move(with));
        take(proposal, m_left, -1);
    }
    m_chosen[job] = -1;
    const auto urgency = std::find(m_priorities.begin(), m_priorities.end(), m_request.jobs[job].priority);
    ++worth.unplanned[static_cast<std::size_t>(urgency - m_priorities.begin())];
    choose(place + 1, std::move(worth));
}

void SharedSearch::explain(SharedStockPlan& plan) const {
    for (std::size_t a = 0; a < plan.jobs.size(); ++a) {
        SharedJobPlan& job = plan.jobs[a];
        const bool loses = !m_alone[a].proposals.empty() &&
                           (!job.proposal || job.deviation > job.deviation_alone + same_sum);
        for (std::size_t b = 0; loses && b < plan.jobs.size(); ++b) {
            const auto& other = plan.jobs[b].proposal;
            if (a != b && other && sharesLots(m_alone[a].proposals.front(), *other))
                job.blocked_by.push_back(plan.jobs[b].name);
        }
        std::string names;
        for (const std::string& name : job.blocked_by) names += (names.empty() ? "" : ", ") + name;
        job.sentence = !job.proposal && m_alone[a].proposals.empty() ? m_alone[a].message
                       : !job.proposal ? "Nothing is left to build it from: the discs go to " + names + "."
                       : loses         ? "It would come closer without " + names + "."
                                       : "It gets what it would get alone.";
    }
}

SharedStockPlan SharedSearch::run() {
    const auto start = std::chrono::steady_clock::now();
    for (std::size_t job = 0; job < m_request.jobs.size(); ++job) {
        m_alone.push_back(searchFor(job, m_left));
        if (m_alone.back().status == SubstituteStatus::bad_request)
            throw InputError(m_request.jobs[job].name + ": " + m_alone.back().message);
        addOptions(job, m_alone.back());
    }
    searchWhatOthersLeave();
    planInTurn();
    m_chosen.assign(m_request.jobs.size(), -1);
    choose(0, {std::vector<int>(m_priorities.size(), 0), 0});
    SharedStockPlan plan;
    bool all_proved = true;
    int hopeless = 0;
    for (std::size_t job = 0; job < m_request.jobs.size(); ++job) {
        SharedJobPlan planned;
        planned.name = m_request.jobs[job].name;
        planned.alone = m_alone[job].status;
        if (!m_alone[job].proposals.empty())
            planned.deviation_alone = m_alone[job].proposals.front().deviation.max_deviation;
        if (m_best[job] >= 0) {
            planned.proposal = m_options[job][static_cast<std::size_t>(m_best[job])];
            planned.deviation = planned.proposal->deviation.max_deviation;
            plan.sum_of_deviations += planned.deviation;
            plan.lower_bound += m_alone[job].lower_bound;
        } else {
            ++plan.unplanned;
        }
        hopeless += planned.alone == SubstituteStatus::nothing_possible;
        all_proved = all_proved && planned.alone != SubstituteStatus::found_not_proved;
        plan.jobs.push_back(std::move(planned));
    }
    double alone = 0;
    for (const SharedJobPlan& job : plan.jobs) alone += job.proposal ? job.deviation_alone : 0;
    plan.proved = all_proved && plan.unplanned == hopeless && plan.sum_of_deviations <= alone + same_sum;
    explain(plan);
    plan.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    return plan;
}

} // namespace

SharedStockPlan planTogether(const SharedStockRequest& request) {
    return SharedSearch(request).run();
}

} // namespace shimledger::planner
