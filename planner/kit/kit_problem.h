// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

namespace shimledger::planner {

/// What can be kept of one size. Money in hundredths of one currency.
struct KitStock {
    std::int64_t on_hand = 0;    ///< discs that lie there already and cost nothing more
    std::int64_t pack_size = 1;  ///< discs, >= 1
    std::int64_t pack_price = 0; ///< > 0; 0: nobody sells it
    bool kept = false;           ///< has a drawer whatever comes of it
    bool left_out = false;       ///< has none
};

/// Discs of one size that a job takes, all legs together.
struct KitUse {
    int size = 0;
    int discs = 0;

    bool operator==(const KitUse&) const = default;
};

/// One way to build a wanted stack. `uses` by size, none twice.
struct KitWay {
    std::vector<KitUse> uses;
    double deviation = 0; ///< from the wanted curve

    bool operator==(const KitWay&) const = default;
};

/// The jobs that come between two deliveries, by the number of their wanted stack, ascending.
using KitWindow = std::vector<int>;

/// The sampled problem: buy packs and give sizes a drawer, then build as many jobs as can be in each window,
/// each by one of the ways of its stack or not at all. Drawers are full again when the next window begins.
struct KitProblem {
    std::vector<KitStock> sizes;
    std::vector<std::vector<KitWay>> ways; ///< by wanted stack
    std::vector<KitWindow> windows;
    std::int64_t budget = 0;    ///< for packs
    std::optional<int> drawers; ///< none: as many as it takes

    [[nodiscard]] std::size_t jobs() const {
        std::size_t jobs = 0;
        for (const KitWindow& window : windows) jobs += window.size();
        return jobs;
    }
};

/// The first stage: which sizes have a drawer, and packs bought of each.
struct KitLevels {
    std::vector<bool> has_drawer; ///< by size
    std::vector<int> packs;       ///< by size; 0 without a drawer

    bool operator==(const KitLevels&) const = default;
};

/// Discs in each drawer; 0 for a size without one.
[[nodiscard]] inline std::vector<int> discsOf(const std::vector<KitStock>& sizes, const KitLevels& levels) {
    std::vector<int> discs(sizes.size(), 0);
    for (std::size_t i = 0; i < sizes.size(); ++i) {
        if (levels.has_drawer[i])
            discs[i] = static_cast<int>(sizes[i].on_hand + levels.packs[i] * sizes[i].pack_size);
    }
    return discs;
}

[[nodiscard]] inline std::int64_t costOf(const std::vector<KitStock>& sizes, const KitLevels& levels) {
    std::int64_t cost = 0;
    for (std::size_t i = 0; i < sizes.size(); ++i) cost += levels.packs[i] * sizes[i].pack_price;
    return cost;
}

[[nodiscard]] inline int drawersOf(const KitLevels& levels) {
    int count = 0;
    for (const bool has : levels.has_drawer) count += has ? 1 : 0;
    return count;
}

/// Packs that bring `on_hand` discs to at least `discs`.
[[nodiscard]] inline int packsFor(const KitStock& size, std::int64_t discs) {
    if (discs <= size.on_hand) return 0;
    return static_cast<int>((discs - size.on_hand + size.pack_size - 1) / size.pack_size);
}

} // namespace shimledger::planner
