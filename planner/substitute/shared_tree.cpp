// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/shared_tree.h"

#include "planner/substitute/shared_conflict.h"

#include <algorithm>
#include <utility>

namespace shimledger::planner {

namespace {

constexpr double same_sum = 1e-9;
constexpr double least_first_searches = 6, least_searches = 20; // in the whole time

} // namespace

bool PlanWorth::betterThan(const PlanWorth& other) const {
    return unplanned != other.unplanned ? unplanned < other.unplanned : sum < other.sum - same_sum;
}

SharedTree::SharedTree(const SharedStockRequest& request, const SharedPool& pool,
                       std::vector<JobSearch>& jobs, std::vector<std::size_t> urgency,
                       std::vector<std::size_t> order)
    : m_request(request), m_pool(pool), m_jobs(jobs), m_urgency(std::move(urgency)),
      m_order(std::move(order)), m_found(jobs.size()) {
    for (std::size_t job = 0; job < m_jobs.size(); ++job) {
        m_twin.push_back(job);
        for (std::size_t other = job; other-- > 0;) {
            if (m_request.jobs[other].target == m_request.jobs[job].target &&
                m_request.jobs[other].legs == m_request.jobs[job].legs &&
                m_request.jobs[other].compared_lift_mm == m_request.jobs[job].compared_lift_mm) {
                m_twin[job] = m_twin[other];
                break;
            }
        }
    }
}

double SharedTree::seconds() const {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - m_start).count();
}

bool SharedTree::mayGoOn() {
    if (seconds() > m_request.seconds) m_stopped = true;
    if (!m_stopped && m_request.progress) {
        const double bound = m_any ? lowerBound() : 0;
        m_stopped = !m_request.progress({m_searches, m_worth.sum, bound, seconds()});
    }
    return !m_stopped;
}

SharedTree::Answer SharedTree::solve(std::size_t job, const Terms& terms) {
    Answer& known = m_known[{m_twin[job], terms}];
    if (known) return known;
    ++m_searches;
    // What each can get alone is worth its time; of the many that follow none may take what the others need.
    const bool first = m_alone.size() < m_jobs.size();
    const double most = std::min(m_request.common.limits.seconds,
                                 m_request.seconds / (first ? least_first_searches : least_searches));
    const double left = std::max(0.0, m_request.seconds - seconds());
    known = std::make_shared<const JobAnswer>(
        m_jobs[m_twin[job]].solve(terms, std::min(most, left), [this] { return mayGoOn(); }));
    m_bounds_fail = m_bounds_fail || known->may_be_closer;
    if (known->kind == JobAnswer::Kind::planned) m_found[m_twin[job]].push_back(known);
    return known;
}

PlanWorth SharedTree::boundOf(const std::vector<Answer>& answers) const {
    PlanWorth bound;
    bound.unplanned.resize(m_jobs.size());
    for (std::size_t job = 0; job < answers.size(); ++job) {
        bound.unplanned[m_urgency[job]] += answers[job]->kind == JobAnswer::Kind::impossible;
        bound.sum += answers[job]->least_cost;
    }
    return bound;
}

/// The one with the best bound comes first, and of equals the younger one, which is nearer to a plan.
bool SharedTree::comesLater(const Node& a, const Node& b) {
    if (a.bound.betterThan(b.bound)) return false;
    if (b.bound.betterThan(a.bound)) return true;
    return a.serial < b.serial;
}

/// Which of two jobs that are alike keeps to which terms makes no difference.
std::vector<SharedTree::Terms> SharedTree::alikeSorted(std::vector<Terms> terms) const {
    for (std::size_t a = 0; a < terms.size(); ++a) {
        for (std::size_t b = a + 1; b < terms.size(); ++b) {
            if (m_twin[a] == m_twin[b] && m_urgency[a] == m_urgency[b] && terms[b] < terms[a])
                std::swap(terms[a], terms[b]);
        }
    }
    return terms;
}

void SharedTree::push(Node node) {
    if (m_any && !node.bound.betterThan(m_worth)) return;
    if (!m_seen.insert(alikeSorted(node.terms)).second) return;
    node.serial = ++m_serial;
    m_open.push_back(std::move(node));
    std::push_heap(m_open.begin(), m_open.end(), comesLater);
}

void SharedTree::open(const PlanWorth& bound) {
    if (!m_left_open || bound.betterThan(m_open_bound)) m_open_bound = bound;
    m_left_open = true;
}

double SharedTree::lowerBound() const {
    PlanWorth least = m_worth;
    if (m_left_open && m_open_bound.betterThan(least)) least = m_open_bound;
    if (m_in_hand && m_in_hand->betterThan(least)) least = *m_in_hand;
    if (!m_open.empty() && m_open.front().bound.betterThan(least)) least = m_open.front().bound;
    if (m_bounds_fail || least.unplanned != m_worth.unplanned) return 0;
    const auto planned =
        std::count_if(m_best.begin(), m_best.end(), [](const Answer& a) { return a != nullptr; });
    return std::max(0.0, least.sum - m_request.common.limits.gap * static_cast<double>(planned));
}

/// Keeps the plan if it is better than the best so far.
void SharedTree::keep(std::vector<Answer> plan) {
    PlanWorth worth;
    worth.unplanned.resize(m_jobs.size());
    for (std::size_t job = 0; job < plan.size(); ++job) {
        if (plan[job] && plan[job]->kind != JobAnswer::Kind::planned) plan[job] = nullptr;
        worth.unplanned[m_urgency[job]] += !plan[job];
        if (plan[job]) worth.sum += plan[job]->cost;
    }
    if (m_any && !worth.betterThan(m_worth)) return;
    m_any = true;
    m_best = std::move(plan);
    m_worth = std::move(worth);
}

/// A plan from answers that may not fit together: the most urgent job first, each takes what is wanted, or
/// the best of what else is known to be possible for it.
void SharedTree::takeWhatFits(const std::vector<Answer>& wanted) {
    PoolUse taken;
    std::vector<Answer> plan(m_jobs.size());
    for (const std::size_t job : m_order) {
        Answer chosen;
        if (wanted[job]->kind == JobAnswer::Kind::planned && m_pool.fits(wanted[job]->use, taken))
            chosen = wanted[job];
        for (const Answer& other : m_found[m_twin[job]]) {
            if (wanted[job] == chosen) break;
            if ((!chosen || other->cost < chosen->cost) && m_pool.fits(other->use, taken)) chosen = other;
        }
        if (!chosen) continue;
        addUse(taken, chosen->use);
        plan[job] = chosen;
    }
    keep(std::move(plan));
}

/// As much of every kind as what is left gives by itself. Kinds of leftovers are not touched where anything
/// of theirs was taken: they share their discs with other kinds.
SharedTree::Terms SharedTree::leftFor(std::size_t job, const PoolUse& taken) const {
    Terms terms;
    for (const UsableStock& stock : m_jobs[job].kinds()) {
        for (const KindName& name : stock.names()) {
            const DiscKind& kind = kindNamed(name, m_jobs[job].kinds());
            std::int64_t most = kind.per_stack;
            for (const auto& [key, pieces] : useOfOne(name, kind, m_pool, m_jobs[job].request().legs)) {
                const auto gone = taken.find(key);
                if (gone == taken.end() || gone->second == 0) continue;
                most = kind.mixed ? 0 : std::min(most, (m_pool.total(key) - gone->second) / pieces);
            }
            if (most < kind.per_stack) terms[name] = {most, {}};
        }
    }
    return terms;
}

/// Each job in turn gets the best of what is left, the most urgent first: always a plan to fall back on.
void SharedTree::planInTurn() {
    PoolUse taken;
    std::vector<Answer> plan(m_jobs.size());
    for (const std::size_t job : m_order) {
        const bool fits =
            m_alone[job]->kind == JobAnswer::Kind::planned && m_pool.fits(m_alone[job]->use, taken);
        plan[job] = fits || m_alone[job]->kind == JobAnswer::Kind::impossible
                        ? m_alone[job]
                        : solve(job, leftFor(job, taken));
        if (plan[job]->kind == JobAnswer::Kind::planned && m_pool.fits(plan[job]->use, taken))
            addUse(taken, plan[job]->use);
    }
    takeWhatFits(plan);
}

void SharedTree::expand(const Node& node) {
    const bool all_known = std::all_of(node.answers.begin(), node.answers.end(), [](const Answer& answer) {
        return answer->kind != JobAnswer::Kind::unknown;
    });
    const std::optional<PoolKey> worst = mostWanted(node.answers, m_pool);
    takeWhatFits(node.answers);
    if (!worst) {
        keep(node.answers);
        // Where a search was ended early, something better may be on the same terms.
        if (!all_known || node.bound.betterThan(m_worth)) open(node.bound);
        return;
    }
    for (const std::vector<JobLimit>& way : waysOut(node.answers, *worst, m_jobs, m_pool)) {
        Node next{node.terms, node.answers, {}, 0};
        for (const JobLimit& limit : way) {
            KindTerms& terms = next.terms[limit.job]
                                   .try_emplace(limit.kind, KindTerms{limit.most_per_stack, {}})
                                   .first->second;
            terms.most_per_stack = std::min(terms.most_per_stack, limit.most_per_stack);
            next.answers[limit.job] = nullptr;
        }
        for (std::size_t job = 0; job < m_jobs.size(); ++job) {
            if (!next.answers[job]) next.answers[job] = solve(job, next.terms[job]);
        }
        next.bound = boundOf(next.answers);
        if (next.bound.betterThan(node.bound)) next.bound = node.bound; // it is one of the node's plans
        push(std::move(next));
    }
}

void SharedTree::run() {
    Node root;
    root.terms.resize(m_jobs.size());
    for (std::size_t job = 0; job < m_jobs.size(); ++job) m_alone.push_back(solve(job, {}));
    root.answers = m_alone;
    root.bound = boundOf(root.answers);
    planInTurn();
    push(std::move(root));
    while (!m_open.empty() && mayGoOn()) {
        std::pop_heap(m_open.begin(), m_open.end(), comesLater);
        const Node node = std::move(m_open.back());
        m_open.pop_back();
        if (m_any && !node.bound.betterThan(m_worth)) {
            m_open.clear(); // nor is any other
            break;
        }
        m_in_hand = &node.bound;
        expand(node);
        m_in_hand = nullptr;
        if (m_stopped) open(node.bound); // its children were not searched to the end
    }
    for (const Node& node : m_open) open(node.bound);
    m_open.clear();
    m_proved = !m_bounds_fail && (!m_left_open || !m_open_bound.betterThan(m_worth));
}

} // namespace shimledger::planner
