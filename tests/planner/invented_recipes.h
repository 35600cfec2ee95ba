// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/kit/kit_plan.h"
#include "planner/units/input_error.h"

#include <algorithm>
#include <cmath>
#include <random>
#include <string>
#include <utility>
#include <vector>

namespace shimledger::planner {

/// A shop that nobody has: three bores, 150 sizes in packs of ten, and as many wanted stacks as asked for,
/// each like what is built of such discs (a face of several, perhaps a crossover, a taper, a clamp shim).
/// Invented; the same seed gives the same shop.
inline KitRequest inventedShop(int recipes, std::uint64_t seed, double jobs_a_year = 250) {
    std::mt19937_64 generator(seed);
    const auto below = [&](int n) { return static_cast<int>(generator() % static_cast<std::uint64_t>(n)); };
    const auto mm = [](int tenths) { return Length::fromMicrometres(tenths * 100); };
    struct Bore {
        int id, clamp, port_inner, port_outer, widest, ods; // tenths of a millimetre
    };
    const std::vector<Bore> bores{
        {60, 100, 130, 200, 240, 7}, {80, 120, 160, 240, 280, 8}, {100, 140, 200, 300, 340, 10}};
    KitRequest request;
    for (const Bore& bore : bores) {
        for (int od = 0; od < bore.ods; ++od) {
            for (const int thickness : {100, 125, 150, 200, 250, 300}) {
                const Length width = mm(bore.widest - 20 * od);
                request.sizes.push_back({width, mm(bore.id), Length::fromMicrometres(thickness)});
                KitStock stock;
                stock.pack_size = 10;
                stock.pack_price = 250 + static_cast<std::int64_t>(width.millimetres() * 8) + thickness / 5;
                request.stock.push_back(stock);
            }
        }
    }
    std::vector<double> weights;
    double sum = 0;
    while (static_cast<int>(request.wanted.size()) < recipes) {
        const Bore& bore = bores[generator() % bores.size()];
        const ValveGeometry valve{
            mm(bore.clamp), mm(bore.port_inner), mm(bore.port_outer), mm(bore.id), {}, {}};
        const int thicknesses[] = {100, 100, 150, 150, 200, 250, 300};
        const auto row = [&](int count, int tenths) {
            return DiscRow{count, mm(tenths), Length::fromMicrometres(thicknesses[below(7)]), {}, {}};
        };
        std::vector<DiscRow> rows{row(2 + below(5), bore.widest)};
        int od = bore.widest;
        if (below(3) == 0) {
            rows.push_back(row(1, od - 20 * (2 + below(2))));
            rows.push_back(row(1 + below(3), od - 20));
            od -= 20;
        }
        od -= 20;
        for (const int last = bore.clamp + 20; od > last; od -= 20 * (1 + (below(4) == 0 ? 1 : 0)))
            rows.push_back(row(1 + (below(3) == 0 ? 1 : 0), od));
        rows.push_back({1, mm(bore.clamp + 20), Length::fromMicrometres(200), {}, {}});
        try {
            StackSpec stack(valve, rows);
            const bool known = std::any_of(request.wanted.begin(), request.wanted.end(),
                                           [&](const WantedStack& one) { return one.stack == stack; });
            if (known) continue;
            const double u = static_cast<double>(generator() >> 11U) / 9007199254740992.0;
            weights.push_back(std::exp(2.2 * u));
            sum += weights.back();
            request.wanted.push_back({"recipe " + std::to_string(request.wanted.size() + 1), std::move(stack),
                                      1 + below(2), 0, 0});
        } catch (const InputError&) {
            continue;
        }
    }
    for (std::size_t k = 0; k < weights.size(); ++k)
        request.wanted[k].jobs_a_year = jobs_a_year * weights[k] / sum;
    request.season = {0.6, 0.9, 1.3, 1.5, 1.1, 0.6};
    return request;
}

} // namespace shimledger::planner
