// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/curve_bounds.h"

#include <cstddef>
#include <cstdint>
#include <memory>
#include <random>
#include <utility>
#include <vector>

namespace shimledger::planner {

/// A box of stacks that a bound has excluded, and what the bound rested on.
struct ExcludedBox {
    std::size_t frame = 0;
    std::vector<int> active;                              ///< groups that vary ...
    std::vector<int> nodes;                               ///< ... and of which states, see StateTree
    std::shared_ptr<const CurveBounds::LocalModel> model; ///< that the bound rested on
    bool by_order = false;                                ///< it was the bound by order
};

/// Keeps some of the boxes that a proof excludes, drawn at random (A. Efraimidis, P. Spirakis, Information
/// Processing Letters 97 (2006) 181: the keys u^(1/w)); those whose bound was tightest are the likeliest.
/// What they hold is then evaluated: a bound that excludes too much shows there.
class ProofAudit {
public:
    /// A box whose bound was `bound` where `enough` would have done.
    template <typename Make>
    void offer(double bound, double enough, Make&& make) {
        const double key = keyFor(bound, enough);
        if (m_kept.size() >= most_kept && key <= m_kept.front().first) return;
        keep(key, make());
    }
    void clear() { m_kept.clear(); }
    /// In the order of their keys.
    [[nodiscard]] std::vector<ExcludedBox> boxes() const;
    [[nodiscard]] std::mt19937_64& random() { return m_random; }

private:
    static constexpr std::size_t most_kept = 300;
    [[nodiscard]] double keyFor(double bound, double enough);
    void keep(double key, ExcludedBox box);

    std::mt19937_64 m_random{20261129};                 // a fixed seed: the same request, the same draws
    std::vector<std::pair<double, ExcludedBox>> m_kept; ///< a heap, the least key in front
};

} // namespace shimledger::planner
