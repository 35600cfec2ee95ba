// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/substitute_request.h"

#include <random>
#include <string>
#include <vector>

namespace shimledger::planner::test {

/// Rows of a target with a ring: around or behind a spacer, thinner or thicker than its room, without any
/// room, or behind a taper. The same generator state gives the same rows.
inline std::vector<DiscRow> ringRows(std::mt19937& random) {
    const auto pick = [&](int low, int high) {
        return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
    };
    const auto um = [](int micrometres) { return Length::fromMicrometres(micrometres); };
    const std::vector<int> thicknesses{80, 100, 120, 150, 200, 250};
    const auto thickness = [&] { return um(thicknesses[random() % thicknesses.size()]); };
    const Length bore = um(std::vector<int>{16000, 18000, 19000}[random() % 3]);
    std::vector<DiscRow> rows{{pick(1, 4), um(24000), thickness(), {}, {}}};
    switch (pick(0, 3)) {
    case 0: { // in the room of a spacer, at times a little thicker
        const Length room = thickness();
        rows.push_back({1, um(14000), room, {}, {}});
        rows.push_back({1, um(22000), room + um(pick(0, 2) * 20), bore, {}});
        rows.push_back({pick(1, 2), um(22000), thickness(), {}, {}});
        break;
    }
    case 1: // in front of a spacer, of any thickness
        rows.push_back({1, um(22000), thickness(), bore, {}});
        rows.push_back({1, um(14000), thickness(), {}, {}});
        rows.push_back({pick(1, 2), um(22000), thickness(), {}, {}});
        break;
    case 2: // without a spacer it preloads with all that it is thick
        rows.push_back({1, um(22000), um(pick(3, 10) * 10), bore, {}});
        rows.push_back({pick(1, 2), um(22000), thickness(), {}, {}});
        break;
    default: // behind a taper
        rows.push_back({pick(1, 2), um(20000), thickness(), {}, {}});
        rows.push_back({1, um(13000), thickness(), {}, {}});
        rows.push_back({1, um(20000), thickness(), um(16000), {}});
        rows.push_back({1, um(20000), thickness(), {}, {}});
        break;
    }
    rows.push_back({1, um(12000), thickness(), {}, {}});
    return rows;
}

inline StackSpec ringStack(std::vector<DiscRow> rows) {
    const auto um = [](int micrometres) { return Length::fromMicrometres(micrometres); };
    return StackSpec({um(10000), um(13000), um(20000), um(6000), {}, um(0)}, std::move(rows));
}

/// A few sizes of every OD and of rings up to 0.04 mm off, in small numbers; any group may change.
inline SubstituteRequest ringRequest(std::mt19937& random, int sizes, int most_pieces) {
    const auto pick = [&](int low, int high) {
        return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
    };
    const auto um = [](int micrometres) { return Length::fromMicrometres(micrometres); };
    const std::vector<int> thicknesses{80, 100, 120, 150, 200, 250};
    SubstituteRequest request;
    request.target = ringStack(ringRows(random));
    request.legs = pick(1, 2);
    const auto shelve = [&](Length od, Length id, Length thickness, std::int64_t pieces) {
        const std::string bin = std::to_string(request.stock.size());
        request.stock.push_back({bin, "", od, id, thickness, {}, false, pieces, 0, 0});
    };
    for (const int od : {24, 22, 20, 14, 13, 12}) {
        for (int i = 0; i < sizes; ++i) {
            const Length thickness = um(thicknesses[random() % thicknesses.size()]);
            shelve(um(od * 1000), um(6000), thickness, pick(0, most_pieces) * request.legs);
        }
    }
    for (const DiscRow& row : request.target->rows()) {
        if (!row.ring_id) continue;
        for (int i = 0; i < sizes; ++i) {
            const Length thickness = row.thickness + um(pick(-4, 4) * 10);
            if (thickness >= um(20))
                shelve(row.od, *row.ring_id, thickness, pick(1, most_pieces) * request.legs);
        }
    }
    request.rules.most_other_groups_changed = 10;
    request.rules.height_tolerance = um(pick(0, 2) * 150);
    request.rules.crossover_od_tolerance = um(0);
    request.rules.regime = pick(0, 4) == 0 ? Regime::small : Regime::large;
    request.limits.seconds = 600;
    request.limits.candidates = 1'000'000'000;
    request.limits.gap = 0;
    return request;
}

} // namespace shimledger::planner::test
