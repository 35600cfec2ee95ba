// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/substitute_request.h"
#include "planner/units/input_error.h"

#include <algorithm>
#include <optional>
#include <random>
#include <string>
#include <vector>

namespace shimledger::planner::test {

/// Valves, targets, small drawers that lack one or two of their sizes, and rules, all at random.
class RandomDrawers {
public:
    explicit RandomDrawers(unsigned seed) : m_random(seed) {}

    /// Every choice of rules, or the default ones.
    SubstituteRequest request(bool any_rules) {
        for (;;) {
            try {
                SubstituteRequest request;
                request.target = target();
                request.legs = oneOf({1, 2, 2});
                stock(request);
                if (any_rules) rules(request);
                request.rules.regime = chance(50) ? Regime::small : Regime::large;
                request.limits.seconds = 60;
                return request;
            } catch (const InputError&) { // a stack that cannot exist
            }
        }
    }

    /// Another curve than the target's, of one to four points up to the working lift, and now and then rows
    /// that stay.
    void wish(SubstituteRequest& request) {
        std::string text;
        int lift_um = oneOf({0, 0, between(1, 150)});
        for (int points = between(1, 4); points > 0 && lift_um <= 300; --points) {
            const int percent = oneOf({between(60, 99), between(101, 150), 100});
            text += (text.empty() ? "" : ",") + um(lift_um).text(3) + ":" + um(percent * 10).text(3);
            lift_um += oneOf({1, between(2, 30), between(40, 200)});
        }
        request.rules.wanted = WantedFactor::read(text);
        const int rows = static_cast<int>(request.target->rows().size());
        if (chance(20) && request.rules.rows_that_may_move.empty())
            request.rules.rows_that_stay = {between(1, rows)};
    }

private:
    int between(int low, int high) {
        return low + static_cast<int>(m_random() % static_cast<unsigned>(high - low + 1));
    }
    bool chance(int percent) { return between(1, 100) <= percent; }
    int oneOf(const std::vector<int>& values) { return values[m_random() % values.size()]; }
    static Length um(int micrometres) { return Length::fromMicrometres(micrometres); }

    StackSpec target() {
        const int face = between(16, 40) * 1000, bore = oneOf({6000, 8000, 10000, 12000});
        const int clamp = bore + oneOf({1000, 2000, 3000, 4000});
        const int inner = clamp + oneOf({1000, 2000, 3000}), outer = face * oneOf({70, 75, 80, 85, 90}) / 100;
        ValveGeometry valve{um(clamp), um(inner), um(outer), um(bore), {}, um(0)};
        if (chance(8)) valve.seat_diameter = um(outer + 300);
        const auto thin = [&] { return um(oneOf({100, 150, 200})); };
        const auto any = [&] { return um(oneOf({100, 150, 200, 250, 300})); };
        std::vector<DiscRow> rows{{between(1, 8), um(face), thin(), {}, {}}};
        const auto smaller = [&](int than) {
            return clamp + between(1, std::max(1, (than - clamp) / 500 - 1)) * 500;
        };
        int top = face;
        for (int gaps = oneOf({0, 0, 1, 1, 2}); gaps > 0; --gaps) {
            rows.push_back({oneOf({1, 1, 2}), um(smaller(face)), um(oneOf({100, 150})), {}, {}});
            top = face - oneOf({0, 1000, 2000});
            rows.push_back({between(1, 3), um(top), any(), {}, {}});
        }
        const Length taper = any();
        for (int groups = between(0, 4); groups > 0 && top > clamp + 1000; --groups) {
            top = smaller(top);
            rows.push_back({oneOf({1, 1, 1, 2}), um(top), chance(60) ? taper : any(), {}, {}});
        }
        if (chance(35)) rows.push_back({1, um(clamp), um(oneOf({200, 300})), {}, {}});
        return {valve, rows};
    }

    void stock(SubstituteRequest& request) {
        const std::vector<DiscRow>& rows = request.target->rows();
        const Length bore = request.target->valve().shim_id;
        const int legs = request.legs;
        const bool read = legs == 1 && chance(25);
        const auto put = [&](Length od, int thickness, int pieces, bool used) {
            StockItem item{"B" + std::to_string(request.stock.size()),
                           "",
                           od,
                           bore,
                           um(thickness),
                           {},
                           used,
                           pieces,
                           0,
                           0};
            if (read && chance(60)) item.measured = um(thickness + between(-6, 6));
            if (pieces > 0) request.stock.push_back(item);
        };
        const std::size_t first = m_random() % rows.size(),
                          second = chance(30) ? m_random() % rows.size() : first;
        for (std::size_t row = 0; row < rows.size(); ++row) {
            const int thickness = static_cast<int>(rows[row].thickness.micrometres()),
                      need = legs * rows[row].count;
            if (row == first || row == second) {
                put(rows[row].od, thickness, between(0, need - 1), false);
                for (int sizes = between(1, 3); sizes > 0; --sizes)
                    put(rows[row].od, oneOf({50, 100, 120, 150, 180, 200, 250, 300, 400}),
                        between(1, 3 * need), chance(30));
            } else {
                put(rows[row].od, thickness, need + oneOf({0, 0, 1, 4}), chance(10));
                if (chance(45))
                    put(rows[row].od, oneOf({100, 150, 200, 250, 300}), between(1, 3), chance(30));
            }
            if (chance(30))
                put(rows[row].od + um(oneOf({-1500, -1000, -500, 500, 1000, 1500})), thickness,
                    between(1, legs + 2), false);
        }
    }

    void rules(SubstituteRequest& request) {
        SubstituteRules& rules = request.rules;
        rules.most_other_groups_changed = oneOf({0, 1, 2, 2});
        rules.height_tolerance = um(oneOf({50, 100, 300, 500}));
        rules.crossover_od_tolerance = um(oneOf({0, 500, 1000}));
        rules.crossover_gap_tolerance = um(oneOf({0, 0, 50, 100}));
        if (chance(50)) rules.most_discs_changed = oneOf({2, 4, 7});
        rules.most_discs = oneOf({60, 60, 20, 12});
        rules.mix_new_and_used = !chance(30);
        rules.only_new = chance(15);
        rules.keep_every_od = !chance(33);
        rules.face_od_fixed = !chance(25);
        rules.most_groups_moved = oneOf({1, 1, 2, 3, 0});
        if (chance(25)) {
            const int rows = static_cast<int>(request.target->rows().size());
            rules.rows_that_may_move = {between(1, rows), between(1, rows)};
        }
        const bool read = std::any_of(request.stock.begin(), request.stock.end(),
                                      [](const StockItem& item) { return item.measured.has_value(); });
        if (!read && chance(25)) rules.keep_in_stock = 1;
        if (!request.stock.empty() && chance(20))
            rules.bins_left_alone = {request.stock[m_random() % request.stock.size()].bin};
        if (chance(15)) {
            rules.low_speed_lift_mm = 0.12;
            rules.low_speed_weight = 2;
        }
    }

    std::mt19937 m_random;
};

} // namespace shimledger::planner::test
