// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/kit/kit_search.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <random>
#include <utility>

namespace shimledger::planner {

namespace {

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

constexpr int no_nodes = 0, many_nodes = 3000;
/// Problems of so few jobs have every window packed anew, and well, after each move.
constexpr std::size_t small_problem = 100;

/// One walk. What windows hold is kept beside the levels, so that a move looks only at those it touches.
class Walk {
public:
    Walk(const KitProblem& problem, std::uint64_t seed)
        : m_problem(problem), m_packing(problem.ways), m_generator(seed),
          m_thorough(problem.jobs() <= small_problem) {
        m_ways_with.resize(problem.ways.size() * problem.sizes.size());
        for (std::size_t k = 0; k < problem.ways.size(); ++k) {
            for (std::size_t w = 0; w < problem.ways[k].size(); ++w) {
                for (const KitUse& one : problem.ways[k][w].uses)
                    m_ways_with[k * problem.sizes.size() + at(one.size)].push_back(static_cast<int>(w));
            }
        }
    }

    void start(KitLevels levels) {
        m_levels = std::move(levels);
        m_discs = discsOf(m_problem.sizes, m_levels);
        m_cost = costOf(m_problem.sizes, m_levels);
        m_drawers = drawersOf(m_levels);
        m_windows.assign(m_problem.windows.size(), {});
        m_use.assign(m_problem.windows.size() * m_problem.sizes.size(), 0);
        m_built = 0;
        for (std::size_t s = 0; s < m_windows.size(); ++s) {
            PackedWindow packed;
            m_packing.pack(m_problem.windows[s], m_discs, many_nodes, packed);
            put(s, packed);
        }
        cutToFit();
        remember();
    }

    void run(int moves, const std::function<bool()>& may_go_on) {
        constexpr double hot = 1.2, cold = 0.05;
        constexpr int asked_every = 256;
        for (int move = 0; move < moves; ++move) {
            if (move % asked_every == 0 && may_go_on && !may_go_on()) break;
            const double part = static_cast<double>(move) / moves;
            m_temperature = hot * std::pow(cold / hot, part);
            if (!step()) break;
            if (better()) remember();
            if (move == moves * 3 / 4 || move == moves * 9 / 10) goBack();
        }
        goBack();
    }

    /// Every window once more with more patience, then packs that nothing needs are left away.
    void finish() {
        for (std::size_t s = 0; s < m_windows.size(); ++s) packAnew(s, many_nodes);
        std::vector<int> order(m_problem.sizes.size());
        std::iota(order.begin(), order.end(), 0);
        std::stable_sort(order.begin(), order.end(), [&](int a, int b) {
            return m_problem.sizes[at(a)].pack_price > m_problem.sizes[at(b)].pack_price;
        });
        for (const int size : order) {
            while (m_levels.packs[at(size)] > 0 && tryWithout(size)) {
            }
        }
    }

    [[nodiscard]] KitFound found() const { return {m_levels, m_windows, m_built, m_cost}; }

private:
    [[nodiscard]] std::size_t below(std::size_t n) { return static_cast<std::size_t>(m_generator() % n); }
    [[nodiscard]] double chance() { return static_cast<double>(m_generator() >> 11U) / 9007199254740992.0; }

    void put(std::size_t s, const PackedWindow& packed) {
        const KitWindow& jobs = m_problem.windows[s];
        PackedWindow& now = m_windows[s];
        for (std::size_t j = 0; j < now.way.size(); ++j) {
            if (now.way[j] >= 0) use(s, m_problem.ways[at(jobs[j])][at(now.way[j])], -1);
        }
        m_built += packed.built - now.built;
        now = packed;
        for (std::size_t j = 0; j < now.way.size(); ++j) {
            if (now.way[j] >= 0) use(s, m_problem.ways[at(jobs[j])][at(now.way[j])], 1);
        }
    }
    void use(std::size_t s, const KitWay& way, int sign) {
        for (const KitUse& one : way.uses) used(s, one.size) += sign * one.discs;
    }

    [[nodiscard]] int& used(std::size_t s, int size) { return m_use[at(size) * m_windows.size() + s]; }
    [[nodiscard]] int used(std::size_t s, int size) const { return m_use[at(size) * m_windows.size() + s]; }

    void setPacks(int size, int packs, bool drawer) {
        const KitStock& stock = m_problem.sizes[at(size)];
        m_cost += (packs - m_levels.packs[at(size)]) * stock.pack_price;
        m_drawers += (drawer ? 1 : 0) - (m_levels.has_drawer[at(size)] ? 1 : 0);
        m_levels.packs[at(size)] = packs;
        m_levels.has_drawer[at(size)] = drawer;
        m_discs[at(size)] = drawer ? static_cast<int>(stock.on_hand + packs * stock.pack_size) : 0;
    }

    [[nodiscard]] bool fitsMoney() const {
        return m_cost <= m_problem.budget && m_drawers <= m_problem.drawers.value_or(1 << 30);
    }

    /// A pack less, or the drawer given up where there is no pack; what was changed is kept for going back.
    struct Change {
        int size = 0, packs = 0;
        bool drawer = false;
    };
    void change(int size, int packs, bool drawer, std::vector<Change>& changes) {
        changes.push_back({size, m_levels.packs[at(size)], m_levels.has_drawer[at(size)]});
        setPacks(size, packs, drawer);
    }

    /// Windows that would have to give up something if the size had so many discs less.
    [[nodiscard]] int losers(int size, int discs) const {
        int count = 0;
        const int* use = &m_use[at(size) * m_windows.size()];
        for (std::size_t s = 0; s < m_windows.size(); ++s) count += use[s] > discs ? 1 : 0;
        return count;
    }

    /// Takes away what is used least per money until the levels fit.
    bool makeRoom(std::vector<Change>& changes, const std::vector<int>& spared) {
        const auto isSpared = [&](int size) {
            return std::find(spared.begin(), spared.end(), size) != spared.end();
        };
        for (int guard = 0; !fitsMoney() && guard < 400; ++guard) {
            const bool by_drawer = m_drawers > m_problem.drawers.value_or(1 << 30);
            std::vector<int> candidates;
            for (std::size_t i = 0; i < m_problem.sizes.size(); ++i) {
                const int size = static_cast<int>(i);
                const bool can =
                    by_drawer ? m_levels.has_drawer[i] && !m_problem.sizes[i].kept : m_levels.packs[i] > 0;
                if (can && !isSpared(size)) candidates.push_back(size);
            }
            if (candidates.empty()) return false;
            constexpr int looks = 6;
            int best = -1;
            double least = 0;
            for (int look = 0; look < looks; ++look) {
                const int size = candidates[below(candidates.size())];
                const KitStock& stock = m_problem.sizes[at(size)];
                const int discs = by_drawer ? 0 : m_discs[at(size)] - static_cast<int>(stock.pack_size);
                const double freed = by_drawer ? 1 : static_cast<double>(stock.pack_price);
                const double loss = (losers(size, discs) + 0.02 + 0.3 * chance()) / freed;
                if (best >= 0 && loss >= least) continue;
                best = size;
                least = loss;
            }
            if (by_drawer) {
                change(best, 0, false, changes);
            } else {
                const int packs = m_levels.packs[at(best)] - 1;
                const bool drawer =
                    packs > 0 || m_problem.sizes[at(best)].on_hand > 0 || m_problem.sizes[at(best)].kept;
                change(best, packs, drawer, changes);
            }
        }
        return fitsMoney();
    }

    void cutToFit() {
        std::vector<Change> changes;
        makeRoom(changes, {});
        settle(changes, nullptr);
    }

    struct Before {
        std::size_t window = 0;
        PackedWindow packed;
    };

    void keepOld(std::size_t s, std::vector<Before>* before) {
        if (before == nullptr) return;
        const bool known =
            std::any_of(before->begin(), before->end(), [&](const Before& one) { return one.window == s; });
        if (!known) before->push_back({s, m_windows[s]});
    }

    /// Makes the windows fit the levels again and builds what has become possible.
    void settle(const std::vector<Change>& changes, std::vector<Before>* before) {
        std::vector<int> more;
        for (const Change& one : changes) {
            const KitStock& stock = m_problem.sizes[at(one.size)];
            const std::int64_t discs = one.drawer ? stock.on_hand + one.packs * stock.pack_size : 0;
            if (m_discs[at(one.size)] > discs) more.push_back(one.size);
        }
        for (std::size_t s = 0; s < m_windows.size(); ++s) {
            const bool broken = std::any_of(changes.begin(), changes.end(), [&](const Change& one) {
                return used(s, one.size) > m_discs[at(one.size)];
            });
            const bool wants = m_windows[s].built < static_cast<int>(m_windows[s].way.size());
            if (!broken && (!wants || more.empty())) continue;
            if (m_thorough) {
                keepOld(s, before);
                PackedWindow packed;
                m_packing.pack(m_problem.windows[s], m_discs, many_nodes, packed);
                put(s, packed);
                continue;
            }
            if (!broken) {
                insert(s, &more, before);
                continue;
            }
            keepOld(s, before);
            loosen(s);
            insert(s, nullptr, before);
            constexpr double packed_anew = 0.25; // it takes its time
            if (m_windows[s].built < builtBefore(s, before) && chance() < packed_anew) packAnew(s, no_nodes);
        }
    }

    [[nodiscard]] static int builtBefore(std::size_t s, const std::vector<Before>* before) {
        if (before == nullptr) return std::numeric_limits<int>::max();
        for (const Before& one : *before) {
            if (one.window == s) return one.packed.built;
        }
        return 0;
    }

    /// Jobs give up their discs until none are missing.
    void loosen(std::size_t s) {
        const KitWindow& jobs = m_problem.windows[s];
        PackedWindow packed = m_windows[s];
        for (std::size_t j = 0; j < jobs.size(); ++j) {
            if (packed.way[j] < 0) continue;
            const KitWay& way = m_problem.ways[at(jobs[j])][at(packed.way[j])];
            const bool over = std::any_of(way.uses.begin(), way.uses.end(), [&](const KitUse& one) {
                return used(s, one.size) > m_discs[at(one.size)];
            });
            if (!over) continue;
            use(s, way, -1);
            packed.way[j] = -1;
            --packed.built;
        }
        m_built += packed.built - m_windows[s].built;
        m_windows[s] = packed;
    }

    /// Builds jobs that are not built yet, where the drawers allow: by any way, or by those that take one of
    /// the sizes of which there are more than before.
    void insert(std::size_t s, const std::vector<int>* more, std::vector<Before>* before) {
        const KitWindow& jobs = m_problem.windows[s];
        for (std::size_t j = 0; j < jobs.size(); ++j) {
            if (m_windows[s].way[j] >= 0) continue;
            const std::vector<KitWay>& ways = m_problem.ways[at(jobs[j])];
            int best = -1;
            double least = 0;
            const auto look = [&](int w) {
                double share = 0;
                for (const KitUse& one : ways[at(w)].uses) {
                    const int discs = m_discs[at(one.size)];
                    if (used(s, one.size) + one.discs > discs) return;
                    share += static_cast<double>(one.discs) / discs;
                }
                if (best >= 0 && share >= least) return;
                best = w;
                least = share;
            };
            if (more != nullptr) {
                for (const int size : *more) {
                    for (const int w : m_ways_with[at(jobs[j]) * m_problem.sizes.size() + at(size)]) look(w);
                }
            } else {
                for (std::size_t w = 0; w < ways.size(); ++w) look(static_cast<int>(w));
            }
            if (best < 0) continue;
            keepOld(s, before);
            m_windows[s].way[j] = best;
            ++m_windows[s].built;
            ++m_built;
            use(s, ways[at(best)], 1);
        }
    }

    void packAnew(std::size_t s, int nodes) {
        if (m_windows[s].built == static_cast<int>(m_windows[s].way.size())) return;
        PackedWindow packed;
        m_packing.pack(m_problem.windows[s], m_discs, nodes, packed);
        if (packed.built > m_windows[s].built) put(s, packed);
    }

    void undo(const std::vector<Change>& changes, const std::vector<Before>& before) {
        for (auto one = changes.rbegin(); one != changes.rend(); ++one)
            setPacks(one->size, one->packs, one->drawer);
        for (const Before& one : before) put(one.window, one.packed);
    }

    /// False where there is nothing left to try.
    bool step() {
        const std::size_t total = m_problem.jobs();
        if (total == 0) return false;
        std::vector<Change> changes;
        std::vector<int> spared;
        const bool all = static_cast<std::size_t>(m_built) == total;
        constexpr double leave_away = 0.1;
        if (all || chance() < leave_away) {
            // Less money for the same.
            const int size = randomBought();
            if (size < 0) return !all;
            const int packs = m_levels.packs[at(size)] - 1;
            change(size, packs,
                   packs > 0 || m_problem.sizes[at(size)].on_hand > 0 || m_problem.sizes[at(size)].kept,
                   changes);
        } else if (!wish(changes, spared)) {
            return ++m_idle < 5000;
        }
        if (!makeRoom(changes, spared)) {
            undo(changes, {});
            return ++m_idle < 5000;
        }
        m_idle = 0;
        std::vector<Before> before;
        const int built = m_built;
        const std::int64_t cost = costBefore(changes);
        settle(changes, &before);
        // A hair for money, so that of equals the cheaper wins.
        const double gain =
            (m_built - built) - 1e-4 * static_cast<double>(m_cost - cost) /
                                    static_cast<double>(std::max<std::int64_t>(1, m_problem.budget)) * 100;
        if (gain < 0 && chance() >= std::exp(gain / m_temperature)) undo(changes, before);
        return true;
    }

    [[nodiscard]] std::int64_t costBefore(const std::vector<Change>& changes) const {
        std::int64_t cost = m_cost;
        std::vector<int> seen;
        for (const Change& one : changes) {
            if (std::find(seen.begin(), seen.end(), one.size) != seen.end()) continue;
            seen.push_back(one.size);
            cost -= (m_levels.packs[at(one.size)] - one.packs) * m_problem.sizes[at(one.size)].pack_price;
        }
        return cost;
    }

    int randomBought() {
        std::vector<int> bought;
        for (std::size_t i = 0; i < m_levels.packs.size(); ++i) {
            if (m_levels.packs[i] > 0) bought.push_back(static_cast<int>(i));
        }
        return bought.empty() ? -1 : bought[below(bought.size())];
    }

    /// The packs that one way of a job that is not built lacks.
    bool wish(std::vector<Change>& changes, std::vector<int>& spared) {
        constexpr int looks = 40, ways_looked_at = 3;
        for (int look = 0; look < looks; ++look) {
            const std::size_t s = below(m_windows.size());
            const PackedWindow& window = m_windows[s];
            if (window.built == static_cast<int>(window.way.size())) continue;
            std::vector<std::size_t> waiting;
            for (std::size_t j = 0; j < window.way.size(); ++j) {
                if (window.way[j] < 0) waiting.push_back(j);
            }
            const std::vector<KitWay>& ways =
                m_problem.ways[at(m_problem.windows[s][waiting[below(waiting.size())]])];
            if (ways.empty()) continue;
            std::int64_t least = -1;
            const KitWay* best = nullptr;
            for (int one = 0; one < ways_looked_at; ++one) {
                const KitWay& way = ways[below(ways.size())];
                const std::int64_t money = moneyFor(s, way);
                if (money < 0 || (best != nullptr && money >= least)) continue;
                least = money;
                best = &way;
            }
            if (best == nullptr) continue;
            for (const KitUse& one : best->uses) {
                spared.push_back(one.size);
                const int packs = packsFor(m_problem.sizes[at(one.size)], used(s, one.size) + one.discs);
                if (packs > m_levels.packs[at(one.size)] || !m_levels.has_drawer[at(one.size)])
                    change(one.size, std::max(packs, m_levels.packs[at(one.size)]), true, changes);
            }
            return !changes.empty();
        }
        return false;
    }

    /// Of the packs that the window lacks for the way; -1 where no money can buy them.
    [[nodiscard]] std::int64_t moneyFor(std::size_t s, const KitWay& way) const {
        std::int64_t money = 0, whole = 0;
        for (const KitUse& one : way.uses) {
            const KitStock& stock = m_problem.sizes[at(one.size)];
            const int packs = packsFor(stock, used(s, one.size) + one.discs);
            if (stock.left_out || (packs > 0 && stock.pack_price <= 0)) return -1;
            money += std::max(0, packs - m_levels.packs[at(one.size)]) * stock.pack_price;
            whole += packs * stock.pack_price;
        }
        return whole > m_problem.budget ? -1 : money;
    }

    bool tryWithout(int size) {
        std::vector<Change> changes;
        std::vector<Before> before;
        const int built = m_built, packs = m_levels.packs[at(size)] - 1;
        change(size, packs,
               packs > 0 || m_problem.sizes[at(size)].on_hand > 0 || m_problem.sizes[at(size)].kept, changes);
        settle(changes, &before);
        if (m_built >= built) return true;
        undo(changes, before);
        return false;
    }

    [[nodiscard]] bool better() const {
        return m_built > m_best.built || (m_built == m_best.built && m_cost < m_best.cost);
    }
    void remember() { m_best = found(); }
    void goBack() {
        m_levels = m_best.levels;
        m_discs = discsOf(m_problem.sizes, m_levels);
        m_cost = m_best.cost;
        m_drawers = drawersOf(m_levels);
        for (std::size_t s = 0; s < m_windows.size(); ++s) put(s, m_best.windows[s]);
    }

    const KitProblem& m_problem;
    WindowPacking m_packing;
    std::mt19937_64 m_generator;
    bool m_thorough = false;
    std::vector<std::vector<int>> m_ways_with; ///< by wanted stack, then size
    KitLevels m_levels;
    std::vector<int> m_discs;
    std::int64_t m_cost = 0;
    int m_drawers = 0, m_built = 0, m_idle = 0;
    double m_temperature = 1;
    std::vector<PackedWindow> m_windows;
    std::vector<int> m_use; ///< discs, by size, then by window
    KitFound m_best;
};

} // namespace

KitLevels nothingBought(const KitProblem& problem) {
    KitLevels levels{std::vector<bool>(problem.sizes.size(), false),
                     std::vector<int>(problem.sizes.size(), 0)};
    std::vector<std::size_t> order;
    for (std::size_t i = 0; i < problem.sizes.size(); ++i) {
        if (problem.sizes[i].left_out) continue;
        if (problem.sizes[i].kept || problem.sizes[i].on_hand > 0) order.push_back(i);
    }
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        const KitStock &x = problem.sizes[a], &y = problem.sizes[b];
        return std::pair(!x.kept, -x.on_hand) < std::pair(!y.kept, -y.on_hand);
    });
    for (const std::size_t i : order) {
        if (drawersOf(levels) < problem.drawers.value_or(1 << 30)) levels.has_drawer[i] = true;
    }
    return levels;
}

KitFound weighKit(const KitProblem& problem, const KitLevels& levels, int most_nodes) {
    KitFound found{levels, {}, 0, costOf(problem.sizes, levels)};
    const std::vector<int> discs = discsOf(problem.sizes, levels);
    WindowPacking packing(problem.ways);
    for (const KitWindow& window : problem.windows) {
        found.windows.emplace_back();
        packing.pack(window, discs, most_nodes, found.windows.back());
        found.built += found.windows.back().built;
    }
    return found;
}

KitFound searchKit(const KitProblem& problem, const std::vector<KitLevels>& starts,
                   const KitSearchLimits& limits) {
    std::vector<KitLevels> from = starts;
    if (from.empty()) from.push_back(nothingBought(problem));
    KitFound best;
    bool any = false;
    for (std::size_t i = 0; i < from.size(); ++i) {
        Walk walk(problem, limits.seed + i);
        walk.start(from[i]);
        walk.run(limits.moves, limits.may_go_on);
        walk.finish();
        KitFound found = walk.found();
        if (any && std::pair(-found.built, found.cost) >= std::pair(-best.built, best.cost)) continue;
        best = std::move(found);
        any = true;
    }
    return best;
}

} // namespace shimledger::planner
