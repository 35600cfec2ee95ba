// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/leg_split.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <tuple>
#include <utility>

namespace shimledger::planner {

namespace {

constexpr double most_ways = 20'000;

double cubeOf(const LegLot& lot) {
    const double t = lot.reading.millimetres();
    return t * t * t;
}

auto placeOf(const LegLot& lot) {
    return std::tie(lot.od, lot.thickness, lot.reading, lot.walking_order, lot.bin, lot.used, lot.part);
}

/// What is left of one size when the whole rounds are dealt, piece by piece: thickest first.
using Rest = std::vector<LegLot*>;

/// The sizes of one OD.
using RestOfOd = std::vector<Rest>;

double waysOf(const RestOfOd& sizes) {
    double ways = 1;
    for (const Rest& rest : sizes) {
        const std::size_t half = rest.size() / 2;
        for (std::size_t i = 0; i < half; ++i)
            ways *= static_cast<double>(rest.size() - i) / static_cast<double>(i + 1);
    }
    return ways;
}

/// For two legs: tries every way to give half of each size to the second leg.
class EveryWay {
public:
    explicit EveryWay(const RestOfOd& sizes) {
        for (const Rest& rest : sizes) {
            std::size_t to_second = rest.size() / 2;
            for (std::size_t i = 0; i < rest.size(); ++i) {
                m_cubes.push_back(cubeOf(*rest[i]));
                m_to_second.push_back(to_second);
                m_left.push_back(rest.size() - i);
            }
        }
        m_leg.assign(m_cubes.size(), 0);
        if (!m_cubes.empty()) walk(0, m_to_second.front(), 0);
    }

    [[nodiscard]] const std::vector<std::size_t>& legs() const { return m_best; } ///< by piece

private:
    void walk(std::size_t piece, std::size_t to_second, double difference) {
        if (piece == m_cubes.size()) {
            // The first way of those that differ alike is kept, to the last digit that rounding leaves.
            if (!m_best.empty() && std::abs(difference) >= m_least - 1e-12) return;
            m_least = std::abs(difference);
            m_best = m_leg;
            return;
        }
        for (const std::size_t leg : {std::size_t{0}, std::size_t{1}}) {
            if (leg == 1 ? to_second == 0 : to_second == m_left[piece]) continue;
            m_leg[piece] = leg;
            const bool ends_size = m_left[piece] == 1;
            const std::size_t next = !ends_size                   ? to_second - leg
                                     : piece + 1 < m_cubes.size() ? m_to_second[piece + 1]
                                                                  : 0;
            walk(piece + 1, next, difference + (leg == 0 ? m_cubes[piece] : -m_cubes[piece]));
        }
    }

    std::vector<double> m_cubes;
    std::vector<std::size_t> m_to_second, m_left, m_leg, m_best;
    double m_least = 0;
};

/// Thickest first, to the leg that has the least so far of those that still want this size.
std::vector<std::size_t> dealInTurn(const RestOfOd& sizes, std::size_t legs) {
    std::vector<double> sums(legs, 0.0);
    std::vector<std::size_t> leg_of_piece;
    for (const Rest& rest : sizes) {
        std::vector<std::size_t> room(legs, rest.size() / legs);
        for (std::size_t leg = 0; leg < rest.size() % legs; ++leg) ++room[leg];
        for (const LegLot* lot : rest) {
            std::size_t best = legs;
            for (std::size_t leg = 0; leg < legs; ++leg) {
                if (room[leg] > 0 && (best == legs || sums[leg] < sums[best])) best = leg;
            }
            --room[best];
            sums[best] += cubeOf(*lot);
            leg_of_piece.push_back(best);
        }
    }
    return leg_of_piece;
}

} // namespace

void dealToLegs(std::vector<LegLot>& lots, int leg_count) {
    const auto legs = static_cast<std::size_t>(leg_count);
    std::vector<LegLot*> order;
    for (LegLot& lot : lots) {
        lot.per_leg.assign(legs, lot.quantity / leg_count);
        order.push_back(&lot);
    }
    std::sort(order.begin(), order.end(),
              [](const LegLot* a, const LegLot* b) { return placeOf(*a) < placeOf(*b); });
    std::map<Length, std::map<Length, Rest>> rests;
    for (auto lot = order.rbegin(); lot != order.rend(); ++lot) {
        Rest& rest = rests[(*lot)->od][(*lot)->thickness];
        rest.insert(rest.end(), static_cast<std::size_t>((*lot)->quantity % leg_count), *lot);
    }
    struct Dealt {
        std::vector<LegLot*> pieces;
        std::vector<std::size_t> leg;
        double difference = 0; ///< first leg less second
    };
    std::vector<Dealt> dealt;
    for (auto& [od, by_size] : rests) {
        RestOfOd sizes;
        for (auto size = by_size.rbegin(); size != by_size.rend(); ++size) {
            if (!size->second.empty()) sizes.push_back(size->second);
        }
        Dealt of_od;
        of_od.leg =
            legs == 2 && waysOf(sizes) <= most_ways ? EveryWay(sizes).legs() : dealInTurn(sizes, legs);
        for (const Rest& rest : sizes) of_od.pieces.insert(of_od.pieces.end(), rest.begin(), rest.end());
        for (std::size_t i = 0; i < of_od.pieces.size(); ++i) {
            const double cube = cubeOf(*of_od.pieces[i]);
            of_od.difference += of_od.leg[i] == 0 ? cube : of_od.leg[i] == 1 ? -cube : 0;
        }
        dealt.push_back(std::move(of_od));
    }
    std::stable_sort(dealt.begin(), dealt.end(), [](const Dealt& a, const Dealt& b) {
        return std::abs(a.difference) > std::abs(b.difference);
    });
    double so_far = 0;
    for (const Dealt& of_od : dealt) {
        const bool turned = legs == 2 && so_far * of_od.difference > 0;
        so_far += turned ? -of_od.difference : of_od.difference;
        for (std::size_t i = 0; i < of_od.pieces.size(); ++i)
            ++of_od.pieces[i]->per_leg[turned ? 1 - of_od.leg[i] : of_od.leg[i]];
    }
}

} // namespace shimledger::planner
