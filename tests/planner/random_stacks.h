// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/stack/stack_spec.h"

#include <algorithm>
#include <random>
#include <vector>

namespace shimledger::planner::test {

/// What a random stack may have besides a taper.
struct RandomStackParts {
    bool gaps = false; ///< one or two crossovers, some with a taper in front
    bool seat = false; ///< raised by 0 to 0.04 mm
};

/// Valves and stacks of many proportions; the same generator state gives the same stack.
inline StackSpec randomStack(std::mt19937& random, RandomStackParts parts) {
    const auto pick = [&](int low, int high) {
        return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
    };
    const auto mm = [](int whole) { return Length::fromMicrometres(whole * 1000); };
    const auto thickness = [&] { return Length::fromMicrometres(pick(8, 30) * 10); };
    const int face = pick(20, 32);
    const int clamp = pick(8, face * 45 / 100);
    const int port_in = clamp + pick(1, 3);
    const int port_out = std::min(face - 1, std::max(port_in + 3, face - pick(2, 4)));
    ValveGeometry valve{mm(clamp), mm(port_in), mm(port_out), mm(6), {}, {}};
    if (parts.seat) {
        valve.seat_diameter = Length::fromMicrometres(face * 1000 - pick(2, 6) * 250);
        valve.preload = Length::fromMicrometres(pick(0, 2) * 20);
    }
    std::vector<DiscRow> rows{{pick(1, 6), mm(face), thickness(), {}, {}}};
    int top = face;
    for (int gap = parts.gaps ? pick(1, 2) : 0; gap > 0; --gap) {
        if (pick(0, 1) == 1 && top - 2 > clamp + 4) {
            top -= 2;
            rows.push_back({pick(1, 2), mm(top), thickness(), {}, {}});
        }
        int small = pick(clamp + 1, std::max(clamp + 1, top - 4));
        if (small >= top - 1) small = clamp + 1;
        rows.push_back({1, mm(small), Length::fromMicrometres(pick(4, 20) * 10), {}, {}});
        top = std::max(small + 1, pick(std::max(small + 1, top - 2), std::max(small + 1, top)));
        rows.push_back({pick(1, 3), mm(top), thickness(), {}, {}});
    }
    for (int od = top - pick(1, 3); od > clamp; od -= pick(1, 4))
        rows.push_back({pick(1, 2), mm(od), thickness(), {}, {}});
    return StackSpec(valve, rows);
}

} // namespace shimledger::planner::test
