// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/kit/plain_levels.h"

#include "planner/kit/kit_search.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace shimledger::planner {

namespace {

/// Packs with which the discs of a share of the windows are there.
int packsForShare(const KitStock& stock, const std::vector<int>& sorted, double share) {
    if (sorted.empty() || stock.pack_price <= 0) return 0;
    const auto last = static_cast<double>(sorted.size());
    const auto index = static_cast<std::size_t>(std::clamp(std::ceil(share * last) - 1, 0.0, last - 1));
    return packsFor(stock, sorted[index]);
}

/// By size: discs that each window wants, ascending.
std::vector<std::vector<int>> discsWanted(const KitProblem& problem, const std::vector<KitWay>& wanted) {
    std::vector<std::vector<int>> discs(problem.sizes.size());
    for (const KitWindow& window : problem.windows) {
        std::vector<int> sum(problem.sizes.size(), 0);
        for (const int stack : window) {
            for (const KitUse& one : wanted[static_cast<std::size_t>(stack)].uses)
                sum[static_cast<std::size_t>(one.size)] += one.discs;
        }
        for (std::size_t i = 0; i < sum.size(); ++i) discs[i].push_back(sum[i]);
    }
    for (std::vector<int>& of_size : discs) std::sort(of_size.begin(), of_size.end());
    return discs;
}

} // namespace

std::int64_t moneyForShare(const KitProblem& problem, const std::vector<KitWay>& wanted, double share) {
    const std::vector<std::vector<int>> discs = discsWanted(problem, wanted);
    std::int64_t money = 0;
    for (std::size_t i = 0; i < discs.size(); ++i) {
        if (!problem.sizes[i].left_out)
            money += packsForShare(problem.sizes[i], discs[i], share) * problem.sizes[i].pack_price;
    }
    return money;
}

KitLevels plainLevels(const KitProblem& problem, const std::vector<KitWay>& wanted) {
    const std::vector<std::vector<int>> discs = discsWanted(problem, wanted);
    std::vector<std::pair<int, std::size_t>> asked; // windows that want the size
    for (std::size_t i = 0; i < discs.size(); ++i) {
        const auto zeros = std::upper_bound(discs[i].begin(), discs[i].end(), 0) - discs[i].begin();
        const int windows = static_cast<int>(discs[i].size()) - static_cast<int>(zeros);
        if (windows > 0 && !problem.sizes[i].left_out) asked.emplace_back(-windows, i);
    }
    std::sort(asked.begin(), asked.end());
    KitLevels base{std::vector<bool>(problem.sizes.size(), false), std::vector<int>(problem.sizes.size(), 0)};
    for (std::size_t i = 0; i < problem.sizes.size(); ++i) base.has_drawer[i] = problem.sizes[i].kept;
    const int most = problem.drawers.value_or(1 << 30);
    for (const auto& one : asked) {
        if (drawersOf(base) < most) base.has_drawer[one.second] = true;
    }
    const auto levelsAt = [&](double share) {
        KitLevels levels = base;
        for (std::size_t i = 0; i < discs.size(); ++i) {
            if (levels.has_drawer[i] && !discs[i].empty() && discs[i].back() > 0)
                levels.packs[i] = packsForShare(problem.sizes[i], discs[i], share);
        }
        return levels;
    };
    double low = 0, high = 1;
    if (costOf(problem.sizes, levelsAt(1)) <= problem.budget) low = 1;
    for (int halving = 0; halving < 30 && low < 1; ++halving) {
        const double middle = (low + high) / 2;
        (costOf(problem.sizes, levelsAt(middle)) <= problem.budget ? low : high) = middle;
    }
    KitLevels levels = levelsAt(low);
    if (costOf(problem.sizes, levels) > problem.budget) levels = base;
    // The rest of the money, a pack at a time.
    for (std::int64_t left = problem.budget - costOf(problem.sizes, levels);;) {
        double best = 0;
        std::size_t chosen = 0;
        for (std::size_t i = 0; i < discs.size(); ++i) {
            const KitStock& stock = problem.sizes[i];
            if (!levels.has_drawer[i] || stock.pack_price <= 0 || stock.pack_price > left) continue;
            const auto short_at = [&](std::int64_t level) {
                return discs[i].end() - std::upper_bound(discs[i].begin(), discs[i].end(), level);
            };
            const std::int64_t level = stock.on_hand + levels.packs[i] * stock.pack_size;
            const auto helped = static_cast<double>(short_at(level) - short_at(level + stock.pack_size));
            const double gain = helped / static_cast<double>(stock.pack_price);
            if (gain <= best) continue;
            best = gain;
            chosen = i;
        }
        if (best <= 0) break;
        ++levels.packs[chosen];
        left -= problem.sizes[chosen].pack_price;
    }
    for (std::size_t i = 0; i < levels.packs.size(); ++i) {
        if (levels.packs[i] == 0 && problem.sizes[i].on_hand == 0 && !problem.sizes[i].kept)
            levels.has_drawer[i] = false;
    }
    // What lies there besides stays where there are drawers for it.
    const KitLevels lying = nothingBought(problem);
    for (std::size_t i = 0; i < levels.packs.size(); ++i) {
        if (lying.has_drawer[i] && drawersOf(levels) < most) levels.has_drawer[i] = true;
    }
    return levels;
}

} // namespace shimledger::planner
