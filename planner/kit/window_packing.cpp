// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/kit/window_packing.h"

#include <algorithm>
#include <tuple>
#include <utility>

namespace shimledger::planner {

namespace {

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

} // namespace

bool WindowPacking::fits(const KitWay& way) const {
    return std::all_of(way.uses.begin(), way.uses.end(),
                       [&](const KitUse& use) { return m_left[at(use.size)] >= use.discs; });
}

void WindowPacking::take(const KitWay& way, int sign) {
    for (const KitUse& use : way.uses) m_left[at(use.size)] -= sign * use.discs;
}

void WindowPacking::search(std::size_t depth, int built) {
    if (m_nodes >= m_most_nodes) return;
    ++m_nodes;
    if (built > m_best_built) {
        m_best_built = built;
        m_best = m_now;
        for (std::size_t d = depth; d < m_open.size(); ++d) m_best[d] = -1;
    }
    // What is left allows each of these alone.
    int possible = built;
    for (std::size_t d = depth; d < m_open.size() && possible <= m_best_built; ++d) {
        const Open& open = m_open[d];
        possible += std::any_of(open.ways.begin(), open.ways.end(),
                                [&](int way) { return fits(m_ways[at(open.stack)][at(way)]); });
    }
    if (possible <= m_best_built) return;
    const Open& open = m_open[depth];
    // Of equal jobs one is built first, and in the order of the ways: any other order is the same.
    std::size_t first = 0;
    if (depth > 0 && m_open[depth - 1].stack == open.stack) {
        const int before = m_now[depth - 1];
        first = before < 0 ? open.ways.size()
                           : static_cast<std::size_t>(std::find(open.ways.begin(), open.ways.end(), before) -
                                                      open.ways.begin());
    }
    for (std::size_t w = first; w < open.ways.size(); ++w) {
        const KitWay& way = m_ways[at(open.stack)][at(open.ways[w])];
        if (!fits(way)) continue;
        m_now[depth] = open.ways[w];
        take(way, 1);
        search(depth + 1, built + 1);
        take(way, -1);
        if (m_nodes >= m_most_nodes) return;
    }
    m_now[depth] = -1;
    search(depth + 1, built);
}

void WindowPacking::pack(std::span<const int> jobs, std::span<const int> discs, int most_nodes,
                         PackedWindow& packed) {
    packed.way.assign(jobs.size(), -1);
    packed.built = 0;
    m_left.assign(discs.begin(), discs.end());
    m_open.clear();
    for (std::size_t j = 0; j < jobs.size(); ++j) {
        if (j > 0 && !m_open.empty() && jobs[j] == jobs[j - 1] &&
            m_open.back().job == static_cast<int>(j) - 1) {
            m_open.push_back({static_cast<int>(j), jobs[j], m_open.back().ways});
            continue;
        }
        const std::vector<KitWay>& ways = m_ways[at(jobs[j])];
        std::vector<std::pair<double, int>> fitting;
        for (std::size_t w = 0; w < ways.size(); ++w) {
            if (!fits(ways[w])) continue;
            double share = 0;
            for (const KitUse& use : ways[w].uses)
                share += static_cast<double>(use.discs) / discs[at(use.size)];
            fitting.emplace_back(share, static_cast<int>(w));
        }
        if (fitting.empty()) continue;
        std::sort(fitting.begin(), fitting.end());
        Open open{static_cast<int>(j), jobs[j], {}};
        for (const auto& one : fitting) open.ways.push_back(one.second);
        m_open.push_back(std::move(open));
    }
    // Whoever has least choice comes first.
    std::stable_sort(m_open.begin(), m_open.end(), [](const Open& a, const Open& b) {
        return std::tuple(a.ways.size(), a.stack) < std::tuple(b.ways.size(), b.stack);
    });
    m_now.assign(m_open.size(), -1);
    m_best_built = 0;
    for (std::size_t d = 0; d < m_open.size(); ++d) {
        for (const int way : m_open[d].ways) {
            const KitWay& one = m_ways[at(m_open[d].stack)][at(way)];
            if (!fits(one)) continue;
            take(one, 1);
            m_now[d] = way;
            ++m_best_built;
            break;
        }
    }
    m_best = m_now;
    packed.proved = m_best_built == static_cast<int>(m_open.size());
    if (!packed.proved && most_nodes > 0) {
        m_left.assign(discs.begin(), discs.end());
        m_now.assign(m_open.size(), -1);
        m_nodes = 0;
        m_most_nodes = most_nodes;
        search(0, 0);
        packed.proved = m_nodes < m_most_nodes || m_best_built == static_cast<int>(m_open.size());
    }
    packed.built = m_best_built;
    for (std::size_t d = 0; d < m_open.size(); ++d) packed.way[at(m_open[d].job)] = m_best[d];
}

void WindowPacking::packInOrder(std::span<const int> jobs, std::span<const int> discs,
                                std::span<const double> worth, PackedWindow& packed) {
    packed.way.assign(jobs.size(), -1);
    packed.built = 0;
    packed.proved = false;
    m_left.assign(discs.begin(), discs.end());
    for (std::size_t j = 0; j < jobs.size(); ++j) {
        const std::vector<KitWay>& ways = m_ways[at(jobs[j])];
        double least = 0;
        int best = -1;
        for (std::size_t w = 0; w < ways.size(); ++w) {
            if (!fits(ways[w])) continue;
            double sum = 0;
            for (const KitUse& use : ways[w].uses) sum += use.discs * worth[at(use.size)];
            if (best >= 0 && sum >= least) continue;
            least = sum;
            best = static_cast<int>(w);
        }
        if (best < 0) continue;
        take(ways[at(best)], 1);
        packed.way[j] = best;
        ++packed.built;
    }
}

} // namespace shimledger::planner
