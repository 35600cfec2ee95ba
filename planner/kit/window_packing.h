// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/kit/kit_problem.h"

#include <span>
#include <vector>

namespace shimledger::planner {

/// Which of a window's jobs are built from given drawers, and how.
struct PackedWindow {
    std::vector<int> way; ///< by job of the window; -1: not built
    int built = 0;
    bool proved = false; ///< no more can be
};

/// The second stage. Ways must outlive it; it may be used for any number of windows, by one thread.
class WindowPacking {
public:
    explicit WindowPacking(const std::vector<std::vector<KitWay>>& ways) : m_ways(ways) {}

    /// As many jobs as can be, all of them known beforehand: the drawers' scarcest discs are spared first;
    /// where jobs are left over, a branch and bound of at most `most_nodes` looks for more.
    void pack(std::span<const int> jobs, std::span<const int> discs, int most_nodes, PackedWindow& packed);

    /// The jobs one after the other, as a bench does it: each in the way whose discs are worth least, if any
    /// can be had of what is left. `worth` of one disc by size.
    void packInOrder(std::span<const int> jobs, std::span<const int> discs, std::span<const double> worth,
                     PackedWindow& packed);

private:
    struct Open {
        int job = 0; ///< place in the window
        int stack = 0;
        std::vector<int> ways; ///< that the full drawers allow, the most sparing first
    };
    [[nodiscard]] bool fits(const KitWay& way) const;
    void take(const KitWay& way, int sign);
    void search(std::size_t depth, int built);

    const std::vector<std::vector<KitWay>>& m_ways;
    std::vector<int> m_left;
    std::vector<Open> m_open;
    std::vector<int> m_now, m_best;
    int m_best_built = 0;
    int m_nodes = 0, m_most_nodes = 0;
};

} // namespace shimledger::planner
