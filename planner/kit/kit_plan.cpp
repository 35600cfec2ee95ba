// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/kit/kit_plan.h"

#include "planner/kit/demand_windows.h"
#include "planner/kit/kit_bound.h"
#include "planner/kit/kit_search.h"
#include "planner/kit/plain_levels.h"
#include "planner/kit/recipe_variants.h"
#include "planner/kit/window_packing.h"
#include "planner/units/input_error.h"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cmath>
#include <exception>
#include <map>
#include <memory>
#include <numeric>
#include <random>
#include <set>
#include <thread>
#include <utility>

namespace shimledger::planner {

namespace {

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

void check(const KitRequest& request) {
    const auto refuse = [](const std::string& sentence) { throw InputError(sentence); };
    if (request.wanted.empty())
        refuse(
            "there is no job with a target stack and no recipe, so nobody knows what to keep: give recipes "
            "with a number a year");
    if (request.sizes.empty() || request.sizes.size() != request.stock.size())
        refuse("no size of shim is offered or in stock, so there is nothing to choose from");
    double jobs = 0;
    for (const WantedStack& one : request.wanted) {
        if (!(one.jobs_a_year >= 0) || one.jobs_a_year > 100'000)
            refuse(one.name + ": the number of jobs a year must be 0 to 100000");
        jobs += one.jobs_a_year + one.waiting;
    }
    if (!(jobs > 0)) refuse("no job is expected: all numbers a year are 0");
    if (request.budget && *request.budget <= 0)
        refuse("a budget of 0 buys nothing: give what may be spent, such as 500");
    if (request.drawers && *request.drawers <= 0)
        refuse("without a drawer nothing can be kept: give how many there are, such as 60");
    if (request.drawers) {
        const auto kept = std::count_if(request.stock.begin(), request.stock.end(),
                                        [](const KitStock& one) { return one.kept; });
        if (kept > *request.drawers)
            refuse("more sizes are to be kept in any case than there are drawers: " + std::to_string(kept));
    }
    if (!(request.rules.within > 0 && request.rules.within <= 0.5))
        refuse("stacks must be within 0.1 to 50 % of the wanted curve");
    if (request.season.empty() || !(request.window_days > 0))
        refuse("the season must be at least a day long");
}

/// Mean and 95 % interval of jobs built over jobs, window by window.
CoverageEstimate estimate(const std::vector<std::pair<int, int>>& built_of) {
    double built = 0, jobs = 0;
    for (const auto& [b, j] : built_of) {
        built += b;
        jobs += j;
    }
    if (!(jobs > 0)) return {1, 1, 1};
    const double ratio = built / jobs;
    double squares = 0;
    for (const auto& [b, j] : built_of) squares += (b - ratio * j) * (b - ratio * j);
    const auto n = static_cast<double>(built_of.size());
    constexpr double normal_95 = 1.96;
    const double half = n > 1 ? normal_95 * std::sqrt(squares / (n - 1) * n) / jobs : 1;
    return {ratio, std::max(0.0, ratio - half), std::min(1.0, ratio + half)};
}

/// All the work on one request.
class Planner {
public:
    explicit Planner(const KitRequest& request)
        : m_request(request), m_start(std::chrono::steady_clock::now()) {
        for (const KitStock& stock : request.stock) {
            const double unit = stock.pack_price > 0 ? static_cast<double>(stock.pack_price) /
                                                           static_cast<double>(stock.pack_size)
                                                     : 1;
            const bool never = stock.left_out || (stock.pack_price <= 0 && stock.on_hand <= 0);
            m_unit_price.push_back(never ? -1 : unit);
        }
    }

    KitPlan run() {
        gatherStacks();
        makeWays();
        KitPlan plan;
        plan.notes = m_notes;
        const bool any = std::any_of(m_ways.begin(), m_ways.begin() + static_cast<std::ptrdiff_t>(m_seen),
                                     [](const auto& ways) { return !ways.empty(); });
        if (!any) {
            plan.status = KitStatus::nothing_possible;
            plan.notes.insert(plan.notes.begin(),
                              "no wanted stack can be built from any size that is offered or in stock");
            plan.budget = m_request.budget.value_or(0);
            plan.seconds = secondsGone();
            return plan;
        }
        KitProblem problem;
        problem.sizes = m_request.stock;
        problem.drawers = m_request.drawers;
        problem.windows = drawWindows(demand(m_learned_unseen), windowsLearned(), seed(1));
        problem.ways = m_ways;
        if (problem.jobs() == 0)
            throw InputError("hardly any job is expected in the season: there is nothing to plan for");
        problem.budget = m_request.budget.value_or(0);
        constexpr double usual_share = 0.95;
        if (!m_request.budget) problem.budget = moneyForShare(problem, m_own, usual_share);
        plan.budget = problem.budget;
        const KitLevels plain = plainLevels(problem, m_own);
        KitFound found = improve(problem, plain, plan);
        plan.coverage = share(found.built, problem);
        say("bound");
        const KitBound bound =
            boundKit(problem, found.built, {m_request.bound_rounds, [&] { return mayGoOn(); }});
        plan.coverage_bound =
            std::min(1.0, std::max(std::floor(bound.built + 1e-6), static_cast<double>(found.built)) /
                              static_cast<double>(problem.jobs()));
        plan.status =
            std::floor(bound.built + 1e-6) <= found.built ? KitStatus::proved : KitStatus::found_not_proved;
        drawFresh();
        judge(problem, plain, found, plan);
        if (m_request.curve) {
            const KitLevels before = found.levels;
            plan.curve = overMoney(problem, found);
            if (!(found.levels == before)) judge(problem, plain, found, plan);
        }
        statisticalGap(problem, found, plan);
        describe(problem, found, plan);
        notes(problem, found, plan);
        forEachStack([&](std::size_t k) { m_makers[k].keep(); });
        plan.stacks = static_cast<int>(m_stacks.size());
        for (const auto& ways : m_ways) plan.ways += static_cast<int>(ways.size());
        plan.seconds = secondsGone();
        return plan;
    }

private:
    [[nodiscard]] double secondsGone() const {
        return std::chrono::duration<double>(std::chrono::steady_clock::now() - m_start).count();
    }
    [[nodiscard]] bool mayGoOn() const { return !m_stopped && secondsGone() < m_request.seconds; }
    void say(const std::string& doing) {
        if (m_request.progress && !m_request.progress(doing)) m_stopped = true;
    }
    [[nodiscard]] std::uint64_t seed(std::uint64_t what) const { return m_request.seed * 1000003 + what; }
    [[nodiscard]] static double share(int built, const KitProblem& problem) {
        return static_cast<double>(built) / static_cast<double>(problem.jobs());
    }

    /// The stacks asked for, then those that the plan learns from without anybody having asked, then others
    /// like them that it is judged by.
    void gatherStacks() {
        std::vector<StackSpec> stacks;
        std::vector<double> weights;
        for (const WantedStack& one : m_request.wanted) {
            stacks.push_back(one.stack);
            weights.push_back(one.jobs_a_year);
            m_legs.push_back(one.legs);
        }
        m_seen = stacks.size();
        m_stacks = stacks;
        const double jobs = std::accumulate(weights.begin(), weights.end(), 0.0);
        if (!(m_request.unseen_share > 0) || !(jobs > 0)) return;
        const int count = std::clamp(static_cast<int>(m_seen / 2), 4, 60);
        const auto variants = stackVariants(stacks, weights, m_request.sizes, 2 * count, seed(2));
        for (std::size_t i = 0; i < variants.size(); ++i) {
            (i % 2 == 0 ? m_learned_unseen : m_judged_unseen).push_back(static_cast<int>(m_stacks.size()));
            m_stacks.push_back(variants[i].stack);
            m_legs.push_back(m_request.wanted[variants[i].of].legs);
        }
    }

    [[nodiscard]] KitDemand demand(const std::vector<int>& unseen) const {
        constexpr double days_a_year = 365.25;
        KitDemand demand;
        demand.clumping = m_request.clumping;
        demand.waiting.assign(m_stacks.size(), 0);
        double jobs = 0;
        for (std::size_t k = 0; k < m_seen; ++k) {
            jobs += m_request.wanted[k].jobs_a_year;
            demand.waiting[k] = m_request.wanted[k].waiting;
        }
        const double part = unseen.empty() ? 0 : m_request.unseen_share;
        for (const double factor : m_request.season) {
            const double windows = m_request.window_days / days_a_year * factor;
            std::vector<double> means(m_stacks.size(), 0);
            for (std::size_t k = 0; k < m_seen; ++k)
                means[k] = m_request.wanted[k].jobs_a_year * windows * (1 - part);
            for (const int k : unseen)
                means[at(k)] = jobs * windows * part / static_cast<double>(unseen.size());
            demand.means.push_back(std::move(means));
        }
        return demand;
    }

    /// Few sizes need few.
    [[nodiscard]] int moves() const {
        constexpr std::size_t of_a_size = 400;
        return static_cast<int>(std::min(at(m_request.moves), of_a_size * m_request.sizes.size()));
    }

    /// More of them where few jobs come in each, so that rare ones are not left to chance.
    [[nodiscard]] int windowsLearned() const {
        const KitDemand all = demand(m_learned_unseen);
        double jobs = 0;
        for (const auto& means : all.means) jobs += std::accumulate(means.begin(), means.end(), 0.0);
        jobs /= static_cast<double>(all.means.size());
        constexpr int most_times = 6;
        const double times = std::clamp(16 / std::max(0.1, jobs), 1.0, double{most_times});
        return static_cast<int>(m_request.windows_learned * times);
    }

    /// Runs over all stacks, in several threads; what each does depends on nothing but its number.
    template <class Work>
    void forEachStack(Work work) {
        std::atomic<std::size_t> next{0};
        std::exception_ptr fault;
        std::atomic<bool> failed{false};
        const auto run = [&] {
            for (std::size_t k = next++; k < m_stacks.size() && !failed; k = next++) {
                try {
                    work(k);
                } catch (...) {
                    if (!failed.exchange(true)) fault = std::current_exception();
                }
            }
        };
        std::vector<std::thread> threads;
        for (int t = 1; t < m_request.threads; ++t) threads.emplace_back(run);
        run();
        for (std::thread& thread : threads) thread.join();
        if (fault) std::rethrow_exception(fault);
    }

    /// Adds ways at these prices to a stack's.
    void addWays(std::size_t k, const std::vector<double>& prices, int count) {
        for (const StackWay& way : m_makers[k].cheapest(prices, count)) {
            KitWay made{{}, way.deviation};
            for (const auto& [size, discs] : way.discs) made.uses.push_back({size, discs * m_legs[k]});
            const bool known = std::any_of(m_ways[k].begin(), m_ways[k].end(),
                                           [&](const KitWay& one) { return one.uses == made.uses; });
            if (!known) m_ways[k].push_back(std::move(made));
        }
    }

    void makeWays() {
        say("ways to build each stack");
        m_ways.assign(m_stacks.size(), {});
        m_own.assign(m_stacks.size(), {});
        std::vector<std::unique_ptr<RememberedWays>> makers(m_stacks.size());
        forEachStack([&](std::size_t k) {
            makers[k] = std::make_unique<RememberedWays>(m_stacks[k], m_request.sizes, m_request.rules,
                                                         m_request.remembered);
        });
        for (auto& maker : makers) m_makers.push_back(std::move(*maker));
        // Sizes that many jobs ask for are worth having in common.
        std::vector<double> asked(m_request.sizes.size(), 0);
        for (std::size_t k = 0; k < m_stacks.size(); ++k) {
            for (const auto& [size, discs] : m_makers[k].ownDiscs()) {
                m_own[k].uses.push_back({size, discs * m_legs[k]});
                if (k < m_seen) asked[at(size)] += m_request.wanted[k].jobs_a_year;
            }
        }
        const double most = std::max(1e-9, *std::max_element(asked.begin(), asked.end()));
        std::vector<std::vector<double>> prices{m_unit_price};
        std::mt19937_64 generator(seed(3));
        constexpr int chances = 2;
        for (int chance = 0; chance <= chances; ++chance) {
            std::vector<double> price = m_unit_price;
            for (std::size_t i = 0; i < price.size(); ++i) {
                if (price[i] < 0) continue;
                price[i] *= 0.1 + 1 / (1 + 12 * asked[i] / most);
                const double u = static_cast<double>(generator() >> 11U) / 9007199254740992.0;
                if (chance > 0) price[i] *= std::exp(1.6 * (u - 0.5));
            }
            prices.push_back(std::move(price));
        }
        forEachStack([&](std::size_t k) {
            const auto had = [&](const KitUse& one) { return m_unit_price[at(one.size)] >= 0; };
            if (!m_own[k].uses.empty() && std::all_of(m_own[k].uses.begin(), m_own[k].uses.end(), had))
                m_ways[k].push_back(m_own[k]);
            constexpr int each = 4;
            for (const std::vector<double>& price : prices) {
                if (mayGoOn()) addWays(k, price, each);
            }
        });
        for (std::size_t k = 0; k < m_seen; ++k) {
            if (!m_ways[k].empty()) continue;
            const std::string& why = m_makers[k].why();
            m_notes.push_back(
                m_request.wanted[k].name + " cannot be built within " + percent(m_request.rules.within) +
                " from any sizes that are offered or in stock" + (why.empty() ? "" : ": " + why));
        }
        m_seconds_ways = secondsGone();
    }

    static std::string percent(double share) {
        std::string text = std::to_string(std::round(share * 1000) / 10);
        text.erase(text.find('.') + 2);
        if (text.ends_with(".0")) text.erase(text.size() - 2);
        return text + " %";
    }

    /// Ways from what levels keep and from nothing else.
    [[nodiscard]] std::vector<double> pricesOfKept(const KitLevels& levels) const {
        std::vector<double> prices = m_unit_price;
        for (std::size_t i = 0; i < prices.size(); ++i) {
            if (!levels.has_drawer[i]) prices[i] = -1;
        }
        return prices;
    }

    /// From what levels keep, which is nearly free, and little besides.
    [[nodiscard]] std::vector<double> pricesBeside(const KitLevels& levels) const {
        std::vector<double> prices = m_unit_price;
        constexpr double what_lies_there = 0.1;
        for (std::size_t i = 0; i < prices.size(); ++i) {
            if (prices[i] >= 0 && levels.has_drawer[i]) prices[i] *= what_lies_there;
        }
        return prices;
    }

    /// What the bound says that discs are worth.
    [[nodiscard]] std::vector<double> pricesOfWorth(const std::vector<double>& worth) const {
        std::vector<double> prices = m_unit_price;
        for (std::size_t i = 0; i < prices.size(); ++i) {
            if (prices[i] >= 0) prices[i] = worth[i] + 1e-9 * prices[i];
        }
        return prices;
    }

    /// Ways at these prices for all stacks, or for those that the plan is made from.
    void addWaysAt(const std::vector<std::vector<double>>& prices, bool judged_too) {
        const std::set<int> judged(m_judged_unseen.begin(), m_judged_unseen.end());
        forEachStack([&](std::size_t k) {
            if (!judged_too && judged.contains(static_cast<int>(k))) return;
            constexpr int each = 4;
            for (const std::vector<double>& price : prices) {
                if (mayGoOn()) addWays(k, price, each);
            }
        });
    }

    /// Plans, and ways for what the plans keep, in turn.
    KitFound improve(KitProblem& problem, const KitLevels& plain, KitPlan& plan) {
        constexpr int rounds = 2;
        KitSearchLimits quick{std::max(1, moves() / 3), seed(4), [&] { return mayGoOn(); }};
        say("first plan");
        KitFound found = searchKit(problem, {nothingBought(problem), plain}, quick);
        plan.seconds_ways = m_seconds_ways;
        plan.seconds_first_plan = secondsGone();
        for (int round = 0; round < rounds && mayGoOn(); ++round) {
            say("more ways");
            const KitBound bound =
                boundKit(problem, found.built, {m_request.bound_rounds / 6, [&] { return mayGoOn(); }});
            addWaysAt(
                {pricesOfKept(found.levels), pricesBeside(found.levels), pricesOfWorth(bound.disc_worth)},
                false);
            problem.ways = m_ways;
            const bool last = round + 1 == rounds;
            KitSearchLimits limits = quick;
            limits.seed = seed(5 + static_cast<std::uint64_t>(round));
            if (last) limits.moves = moves();
            say("plan");
            found = searchKit(problem, {found.levels, plain}, limits);
        }
        // What those drawers can build, of every stack, whoever plans them.
        addWaysAt({pricesOfKept(found.levels), pricesOfKept(plain)}, true);
        problem.ways = m_ways;
        KitFound again = weighKit(problem, found.levels);
        if (again.built >= found.built) found = std::move(again);
        return reserve(problem, std::move(found));
    }

    /// Where every job that can be built is, money that is left goes to the sizes that run lowest, as far as
    /// windows that the plan was not made from are the better for it.
    KitFound reserve(const KitProblem& problem, KitFound found) {
        const std::vector<KitWindow> other =
            drawWindows(demand(m_learned_unseen), m_request.windows_judged, seed(7), true);
        int built = judged(problem, found, other, false).built;
        constexpr int packs_at_once = 3, looks = 25;
        for (int look = 0; look < looks; ++look) {
            KitFound more = found;
            for (int pack = 0; pack < packs_at_once && addReserve(problem, more); ++pack) {
            }
            if (more.cost == found.cost) break;
            const int with_more = judged(problem, more, other, false).built;
            if (with_more <= built) break;
            built = with_more;
            found = weighKit(problem, more.levels, 200);
        }
        return found;
    }

    /// A pack more of what the most windows per money nearly use up.
    [[nodiscard]] bool addReserve(const KitProblem& problem, KitFound& found) const {
        const std::vector<int> discs = discsOf(problem.sizes, found.levels);
        std::vector<double> low(discs.size(), 0);
        for (std::size_t s = 0; s < found.windows.size(); ++s) {
            std::map<int, int> used;
            for (std::size_t j = 0; j < problem.windows[s].size(); ++j) {
                if (found.windows[s].way[j] < 0) continue;
                for (const KitUse& use :
                     problem.ways[at(problem.windows[s][j])][at(found.windows[s].way[j])].uses)
                    used[use.size] += use.discs;
            }
            constexpr double nearly = 0.7;
            for (const auto& [size, count] : used) low[at(size)] += count > nearly * discs[at(size)] ? 1 : 0;
        }
        double most = 0;
        std::size_t chosen = 0;
        for (std::size_t i = 0; i < discs.size(); ++i) {
            const KitStock& stock = problem.sizes[i];
            if (!found.levels.has_drawer[i] || stock.pack_price <= 0) continue;
            if (found.cost + stock.pack_price > problem.budget) continue;
            // What was reserved already counts less.
            const double gain = low[i] / static_cast<double>(stock.pack_price) / (1 + found.levels.packs[i]);
            if (gain <= most) continue;
            most = gain;
            chosen = i;
        }
        if (most <= 0) return false;
        ++found.levels.packs[chosen];
        found.cost += problem.sizes[chosen].pack_price;
        return true;
    }

    /// What a disc is worth at the bench: dear where most of the drawer is used.
    [[nodiscard]] std::vector<double> worthAtBench(const KitProblem& problem, const KitFound& found) const {
        const std::vector<int> discs = discsOf(problem.sizes, found.levels);
        std::vector<double> used(discs.size(), 0);
        for (std::size_t s = 0; s < found.windows.size(); ++s) {
            for (std::size_t j = 0; j < problem.windows[s].size(); ++j) {
                if (found.windows[s].way[j] < 0) continue;
                for (const KitUse& use :
                     problem.ways[at(problem.windows[s][j])][at(found.windows[s].way[j])].uses)
                    used[at(use.size)] += use.discs;
            }
        }
        std::vector<double> worth(discs.size(), 0);
        for (std::size_t i = 0; i < discs.size(); ++i) {
            const auto windows = static_cast<double>(std::max<std::size_t>(1, found.windows.size()));
            const double level = std::max(1, discs[i]);
            worth[i] = (0.05 + used[i] / windows / level) / level;
        }
        return worth;
    }

    struct Judged {
        CoverageEstimate in_order, foreseen;
        double seen = 0, unseen = 0;
        int built = 0;
    };
    [[nodiscard]] Judged judged(const KitProblem& problem, const KitFound& found,
                                const std::vector<KitWindow>& fresh, bool foreseen) const {
        const std::vector<int> discs = discsOf(problem.sizes, found.levels);
        const std::vector<double> worth = worthAtBench(problem, found);
        WindowPacking packing(m_ways);
        std::vector<std::pair<int, int>> in_order, known;
        PackedWindow packed;
        double of_seen[2] = {0, 0}, of_unseen[2] = {0, 0};
        Judged judged;
        for (const KitWindow& window : fresh) {
            packing.packInOrder(window, discs, worth, packed);
            in_order.emplace_back(packed.built, static_cast<int>(window.size()));
            judged.built += packed.built;
            for (std::size_t j = 0; j < window.size(); ++j) {
                double* group = at(window[j]) < m_seen ? of_seen : of_unseen;
                group[0] += packed.way[j] >= 0 ? 1 : 0;
                group[1] += 1;
            }
            if (!foreseen) continue;
            KitWindow sorted = window;
            std::sort(sorted.begin(), sorted.end());
            const int bench = packed.built;
            packing.pack(sorted, discs, 2000, packed);
            known.emplace_back(std::max(packed.built, bench), static_cast<int>(window.size()));
        }
        judged.in_order = estimate(in_order);
        judged.foreseen = foreseen ? estimate(known) : judged.in_order;
        judged.seen = of_seen[1] > 0 ? of_seen[0] / of_seen[1] : 1;
        judged.unseen = of_unseen[1] > 0 ? of_unseen[0] / of_unseen[1] : 1;
        return judged;
    }

    void drawFresh() {
        say("fresh windows");
        m_fresh = drawWindows(demand(m_judged_unseen), m_request.windows_judged, seed(6), true);
    }

    void judge(const KitProblem& problem, const KitLevels& plain, KitFound& found, KitPlan& plan) {
        const KitFound plain_found = weighKit(problem, plain);
        Judged ours = judged(problem, found, m_fresh, true);
        const Judged theirs = judged(problem, plain_found, m_fresh, true);
        plan.plain = theirs.in_order;
        plan.plain_cost = plain_found.cost;
        plan.plain_sizes = drawersOf(plain);
        plan.plain_is_better = theirs.built > ours.built;
        if (plan.plain_is_better) {
            found = plain_found;
            ours = theirs;
        }
        plan.coverage = share(found.built, problem);
        if (plan.coverage < plan.coverage_bound) plan.status = KitStatus::found_not_proved;
        plan.fresh = ours.in_order;
        plan.fresh_foreseen = ours.foreseen;
        plan.fresh_seen = ours.seen;
        plan.fresh_unseen = ours.unseen;
        plan.cost = found.cost;
        // Without stand-ins each stack has one way: itself.
        KitProblem alone = problem;
        for (std::size_t k = 0; k < alone.ways.size(); ++k) {
            alone.ways[k].clear();
            if (!m_own[k].uses.empty()) alone.ways[k].push_back(m_own[k]);
        }
        WindowPacking packing(alone.ways);
        PackedWindow packed;
        const std::vector<int> discs = discsOf(problem.sizes, plain);
        const std::vector<double> even(discs.size(), 1);
        double built = 0, jobs = 0;
        for (const KitWindow& window : m_fresh) {
            packing.packInOrder(window, discs, even, packed);
            built += packed.built;
            jobs += static_cast<double>(window.size());
        }
        plan.plain_alone = jobs > 0 ? built / jobs : 1;
    }

    /// Bounds of fresh samples exceed, on average, what any plan can do in truth.
    void statisticalGap(const KitProblem& problem, const KitFound& found, KitPlan& plan) {
        constexpr int batches = 4;
        constexpr double student_95 = 2.353; // one-sided, three degrees of freedom
        std::vector<double> bounds;
        KitProblem batch = problem;
        for (int b = 0; b < batches && mayGoOn(); ++b) {
            batch.windows = drawWindows(demand(m_judged_unseen), windowsLearned(),
                                        seed(20 + static_cast<std::uint64_t>(b)));
            if (batch.jobs() == 0) continue;
            const KitFound weighed = weighKit(batch, found.levels, 200);
            const KitBound bound =
                boundKit(batch, weighed.built, {m_request.bound_rounds / 3, [&] { return mayGoOn(); }});
            bounds.push_back(std::max(bound.built, static_cast<double>(weighed.built)) /
                             static_cast<double>(batch.jobs()));
        }
        if (bounds.size() < batches) {
            plan.statistical_gap = 1;
            return;
        }
        const double mean = std::accumulate(bounds.begin(), bounds.end(), 0.0) / batches;
        double squares = 0;
        for (const double bound : bounds) squares += (bound - mean) * (bound - mean);
        const double high = mean + student_95 * std::sqrt(squares / (batches - 1) / batches);
        plan.statistical_gap = std::max(0.0, std::min(1.0, high) - plan.fresh_foreseen.low);
    }

    void describe(const KitProblem& problem, const KitFound& found, KitPlan& plan) const {
        const std::vector<int> discs = discsOf(problem.sizes, found.levels);
        std::vector<double> jobs(discs.size(), 0);
        std::vector<std::set<int>> stacks(discs.size());
        std::vector<bool> asked(discs.size(), false);
        for (std::size_t s = 0; s < found.windows.size(); ++s) {
            for (std::size_t j = 0; j < problem.windows[s].size(); ++j) {
                const int stack = problem.windows[s][j];
                for (const KitUse& use : m_own[at(stack)].uses) {
                    if (at(stack) < m_seen) asked[at(use.size)] = true;
                }
                if (found.windows[s].way[j] < 0) continue;
                for (const KitUse& use : problem.ways[at(stack)][at(found.windows[s].way[j])].uses) {
                    jobs[at(use.size)] += 1;
                    if (at(stack) < m_seen) stacks[at(use.size)].insert(stack);
                }
            }
        }
        const double seasons =
            static_cast<double>(problem.windows.size()) / static_cast<double>(m_request.season.size());
        WindowPacking packing(problem.ways);
        PackedWindow packed;
        for (std::size_t i = 0; i < discs.size(); ++i) {
            if (!found.levels.has_drawer[i]) {
                if (asked[i] && problem.sizes[i].on_hand == 0) plan.spared.push_back(static_cast<int>(i));
                if (problem.sizes[i].on_hand > 0) plan.dead.push_back(static_cast<int>(i));
                continue;
            }
            std::vector<int> without = discs;
            without[i] = 0;
            int built = 0;
            for (std::size_t s = 0; s < problem.windows.size(); ++s) {
                bool uses = false;
                for (std::size_t j = 0; j < problem.windows[s].size() && !uses; ++j) {
                    if (found.windows[s].way[j] < 0) continue;
                    const KitWay& way = problem.ways[at(problem.windows[s][j])][at(found.windows[s].way[j])];
                    uses = std::any_of(way.uses.begin(), way.uses.end(),
                                       [&](const KitUse& use) { return at(use.size) == i; });
                }
                if (uses) {
                    packing.pack(problem.windows[s], without, 100, packed);
                    built += std::min(packed.built, found.windows[s].built);
                } else {
                    built += found.windows[s].built;
                }
            }
            if (jobs[i] == 0 && !problem.sizes[i].kept && found.levels.packs[i] == 0) {
                plan.dead.push_back(static_cast<int>(i));
                continue;
            }
            plan.sizes.push_back({static_cast<int>(i),
                                  discs[i],
                                  found.levels.packs[i],
                                  jobs[i] / seasons,
                                  share(found.built - built, problem),
                                  {stacks[i].begin(), stacks[i].end()}});
        }
    }

    /// The same for other budgets, each begun from the one below. What builds more on fresh windows is the
    /// plan of a budget: what was found for it and given its reserve, what less money did already, or reorder
    /// points. So more money never builds less, and where a cheaper plan does better than `found`, it is the
    /// plan.
    std::vector<KitCurvePoint> overMoney(const KitProblem& problem, KitFound& found) {
        say("coverage over money");
        std::vector<KitCurvePoint> curve;
        KitProblem other = problem;
        KitFound best;
        int best_built = -1;
        for (const double part : {0.25, 0.4, 0.55, 0.7, 0.85, 1.0, 1.2, 1.5}) {
            if (!mayGoOn()) break;
            other.budget = std::llround(static_cast<double>(problem.budget) * part);
            if (other.budget <= 0) continue;
            const auto take = [&](KitFound candidate) {
                const int built = judged(other, candidate, m_fresh, false).built;
                if (built < best_built || (built == best_built && candidate.cost >= best.cost)) return built;
                best = std::move(candidate);
                best_built = built;
                return built;
            };
            std::vector<KitLevels> starts{best_built < 0 ? nothingBought(problem) : best.levels};
            starts.push_back(found.levels);
            const KitFound plain = weighKit(other, plainLevels(other, m_own), 200);
            const int plain_built = take(plain);
            if (part == 1.0) {
                take(found);
                found = best;
            } else {
                take(reserve(other,
                             searchKit(other, starts, {moves() / 6, seed(40), [&] { return mayGoOn(); }})));
            }
            const Judged ours = judged(other, best, m_fresh, false);
            const double jobs = ours.in_order.mean > 0 ? ours.built / ours.in_order.mean : 1;
            curve.push_back({other.budget, best.cost, share(best.built, other), ours.in_order.mean,
                             plain_built / jobs, drawersOf(best.levels)});
        }
        return curve;
    }

    void notes(const KitProblem& problem, const KitFound& found, KitPlan& plan) {
        if (m_stopped || secondsGone() >= m_request.seconds)
            plan.notes.emplace_back(
                "time ended the search before its end: another run may find another plan");
        if (m_request.budget && found.cost * 10 < problem.budget * 9 && plan.coverage >= plan.coverage_bound)
            plan.notes.emplace_back(
                "the budget is more than it takes: the rest of it would build no further job");
        if (plan.plain_is_better)
            plan.notes.emplace_back(
                "reorder points size by size do better for this money, so the plan is theirs");
    }

    const KitRequest& m_request;
    std::chrono::steady_clock::time_point m_start;
    std::vector<double> m_unit_price; ///< of a disc, by size; -1: not to be had
    std::vector<StackSpec> m_stacks;
    std::vector<int> m_legs; ///< by stack
    std::size_t m_seen = 0;  ///< stacks that were asked for, the first ones
    std::vector<int> m_learned_unseen, m_judged_unseen;
    std::vector<RememberedWays> m_makers;
    std::vector<std::vector<KitWay>> m_ways;
    std::vector<KitWay> m_own;
    std::vector<KitWindow> m_fresh;
    std::vector<std::string> m_notes;
    double m_seconds_ways = 0;
    std::atomic<bool> m_stopped{false};
};

} // namespace

const char* kitStatusName(KitStatus status) {
    switch (status) {
    case KitStatus::proved:
        return "proved";
    case KitStatus::found_not_proved:
        return "found_not_proved";
    case KitStatus::nothing_possible:
        return "nothing_possible";
    }
    return "";
}

KitPlan planKit(const KitRequest& request) {
    check(request);
    return Planner(request).run();
}

} // namespace shimledger::planner
