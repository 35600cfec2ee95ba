// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/stack/stack_spec.h"

#include <random>
#include <utility>
#include <vector>

namespace shimledger::planner::test {

inline Length mm(double value) {
    return Length::fromMillimetres(value);
}

/// Random but sensible stacks: ports reach well out from the clamp. The seed is fixed, so failures repeat.
class RandomStacks {
public:
    explicit RandomStacks(unsigned seed) : m_random(seed) {}

    int between(int low, int high) {
        return low + static_cast<int>(m_random() % static_cast<unsigned>(high - low + 1));
    }

    ValveGeometry valve() {
        const int face = between(18, 40), clamp = between(8, face / 2);
        return {mm(clamp), mm(clamp + 1), mm(clamp + (face - clamp) * 3 / 4 + 1), mm(6), {}, {}};
    }

    std::vector<DiscRow> rows(const ValveGeometry& valve, int most = 9) {
        const int clamp = static_cast<int>(valve.clamp_od.millimetres());
        const int face = static_cast<int>(valve.port_outer_diameter.millimetres()) + between(1, 4);
        std::vector<DiscRow> result{row(face)};
        const int count = between(0, most - 1);
        for (int i = 0; i < count; ++i) result.push_back(row(between(clamp, face)));
        return result;
    }

    DiscRow row(int od) {
        constexpr double thicknesses[] = {0.05, 0.10, 0.15, 0.20, 0.25, 0.30};
        return {between(1, 4), mm(od), mm(thicknesses[between(0, 5)]), {}, {}};
    }

    void shuffle(std::vector<DiscRow>& rows, std::size_t first, std::size_t last) {
        for (std::size_t i = last; i > first + 1; --i)
            std::swap(rows[i - 1], rows[first + m_random() % (i - first)]);
    }

private:
    std::mt19937 m_random;
};

} // namespace shimledger::planner::test
