// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/leg_split.h"
#include "planner/substitute/shared_stock_plan.h"
#include "planner/substitute/usable_stock.h"
#include "tests/planner/every_stack.h"
#include "tests/sanitized.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <functional>
#include <map>
#include <random>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;
using namespace shimledger::planner::test;

namespace {

using Reading = std::tuple<Length, Length, Length>; // OD, nominal thickness, reading
using Pieces = std::map<Reading, std::int64_t>;

constexpr int many_lifts = 60;
constexpr double between_lifts = 3e-4; // a curve may deviate more there

struct Way {
    Pieces pieces; ///< all legs
    double cost = 0;
};

Reading readingOf(const StockItem& item) {
    return {item.od, item.thickness, item.measured.value_or(item.thickness)};
}

/// Every number of every kind in every group, closest first; knows nothing of states or bounds.
class EveryDeal {
public:
    /// `others`: groups that may change besides those of which `contested` says so.
    EveryDeal(const SubstituteRequest& request, int others,
              const std::function<bool(const DiscRow&)>& contested)
        : m_request(request), m_others(others), m_contested(contested), m_stock(request, {}),
          m_target(groupStack(*request.target)),
          m_model(request.target->valve(), m_target.shapes, GridOptions::searchGrid()),
          m_room(m_model.makeWorkspace()),
          m_lifts(comparisonLifts(request.rules.working_lift_mm, many_lifts)), m_wanted(m_lifts.size()),
          m_got(m_lifts.size()), m_sums(m_target.sums.size()) {

        REQUIRE(m_model.pressuresAtLifts(m_target.sums, m_lifts, request.rules.regime, m_room, m_wanted)
                    .converged);
        group(0, Length(), 0, 0, {});
        std::sort(ways.begin(), ways.end(), [](const Way& a, const Way& b) { return a.cost < b.cost; });
    }

    std::vector<Way> ways;

private:
    void group(std::size_t g, Length height, int changed, int others, const Pieces& pieces) {
        const auto& rows = m_request.target->rows();
        if (g == rows.size()) {
            const std::int64_t off = std::abs((height - m_request.target->height()).micrometres());
            if (off > m_request.rules.height_tolerance.micrometres() || (changed > 0 && others > m_others))
                return;
            ways.push_back({pieces, changed == 0 ? 0 : worstLeg(pieces)});
            return;
        }
        std::map<Length, int> sizes;
        kind(g, 0, {}, sizes, height, changed, others, pieces);
    }

    /// The deviation of the leg that deviates more: each group is the only one of its OD.
    [[nodiscard]] double worstLeg(const Pieces& pieces) {
        std::vector<LegLot> lots;
        for (const auto& [reading, quantity] : pieces) {
            const auto& [od, thickness, is] = reading;
            lots.push_back({od, thickness, is, is.text(3), "", false, 0, quantity});
        }
        dealToLegs(lots, m_request.legs);
        double deviation = 0;
        for (std::size_t leg = 0; leg < static_cast<std::size_t>(m_request.legs); ++leg) {
            for (std::size_t g = 0; g < m_sums.size(); ++g) {
                const DiscRow& row = m_request.target->rows()[g];
                m_sums[g] = {};
                for (const LegLot& lot : lots) {
                    if (lot.od != row.od) continue;
                    const GroupSums part =
                        sumsOf(static_cast<int>(lot.per_leg[leg]), lot.reading.millimetres(),
                               row.material.elastic_modulus_mpa);
                    m_sums[g].thickness_mm += part.thickness_mm;
                    m_sums[g].bending_n_mm += part.bending_n_mm;
                    m_sums[g].membrane_n_per_mm += part.membrane_n_per_mm;
                }
            }
            REQUIRE(
                m_model.pressuresAtLifts(m_sums, m_lifts, m_request.rules.regime, m_room, m_got).converged);
            for (std::size_t i = 0; i < m_lifts.size(); ++i)
                deviation = std::max(deviation, std::abs(m_got[i] / m_wanted[i] - 1));
        }
        return deviation;
    }

    void kind(std::size_t g, std::size_t k, GroupSums sums, std::map<Length, int>& sizes, Length height,
              int changed, int others, const Pieces& before) {
        const DiscRow& row = m_request.target->rows()[g];
        const std::vector<DiscKind>& kinds = m_stock.kinds(row.od, um(6000));
        if (k == kinds.size()) {
            Length thick;
            int discs = 0;
            for (const auto& [thickness, count] : sizes) {
                thick += count * thickness;
                discs += count;
            }
            const bool crossover = row.od == um(16000);
            if (discs == 0 || (crossover && thick != row.count * row.thickness)) return;
            const bool same = sizes[row.thickness] == row.count && discs == row.count;
            group(g + 1, height + thick, changed + !same, others + (!same && !m_contested(row)), before);
            return;
        }
        Pieces pieces = before;
        for (std::int64_t count = 0; count <= kinds[k].per_stack; ++count) {
            kind(g, k + 1, sums, sizes, height, changed, others, pieces);
            sums.thickness_mm += kinds[k].effective_mm;
            sums.bending_n_mm += row.material.elastic_modulus_mpa * kinds[k].effective_cube_mm3;
            sums.membrane_n_per_mm += row.material.elastic_modulus_mpa * kinds[k].effective_mm;
            ++sizes[kinds[k].thickness];
            for (const auto& [index, of_lot] : kinds[k].lots) {
                const Reading reading = readingOf(m_request.stock[index]);
                if (kinds[k].mixed) {
                    pieces[reading] += of_lot;
                } else {
                    pieces[reading] += m_request.legs;
                    break; // lots of one reading are one kind
                }
            }
        }
        sizes[kinds[k].thickness] -= static_cast<int>(kinds[k].per_stack) + 1;
    }

    const SubstituteRequest& m_request;
    int m_others;
    std::function<bool(const DiscRow&)> m_contested;
    UsableStock m_stock;
    GroupedStack m_target;
    LiftModel m_model;
    LiftWorkspace m_room;
    std::vector<double> m_lifts, m_wanted, m_got;
    std::vector<GroupSums> m_sums;
};

/// Of every size of a short target two lots that were read apart, and a few other discs.
SharedStockRequest twoReadings(std::mt19937& random) {
    const auto pick = [&](int low, int high) {
        return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
    };
    SharedStockRequest request;
    request.common = randomRequest(random, 1, 1);
    request.common.rules.most_discs_changed.reset();
    request.common.target = StackSpec({um(10000), um(13000), um(20000), um(6000), {}, um(0)},
                                      {{pick(1, 2), um(24000), um(150), {}, {}},
                                       {1, um(20000), um(120), {}, {}},
                                       {1, um(14000), um(200), {}, {}}});
    request.common.legs = 2;
    request.seconds = 600;
    for (const DiscRow& row : request.common.target->rows()) {
        for (const int off : {pick(0, 2), -pick(1, 3)}) {
            StockItem lot{"", "", row.od, um(6000), row.thickness, row.thickness + um(off), false, 0, 0, 0};
            lot.bin = row.od.text() + "/" + std::to_string(off);
            lot.available = pick(1, 2 + row.count);
            request.common.stock.push_back(lot);
        }
    }
    return request;
}

} // namespace

TEST_CASE("two jobs get together what trying every deal of measured lots finds, on random small drawers") {
    std::mt19937 random(11);
    int planned = 0, mixed = 0, open = 0;
    for (int i = 0; i < rounds(120); ++i) {
        CAPTURE(i);
        SharedStockRequest request = twoReadings(random);
        request.common.rules.most_other_groups_changed = i % 3;
        request.jobs.push_back({"J0", 0, request.common.target, request.common.legs});
        request.jobs.push_back({"J1", 0, request.common.target, 1 + static_cast<int>(random() % 2)});
        const SharedStockPlan plan = planTogether(request);

        Pieces held;
        for (const StockItem& item : request.common.stock) held[readingOf(item)] += item.available;
        const auto contested = [&](const DiscRow& row) {
            std::int64_t wanted = 0, there = 0;
            for (const SharedJob& job : request.jobs)
                wanted += static_cast<std::int64_t>(row.count) * job.legs;
            for (const StockItem& item : request.common.stock) {
                if (item.od == row.od && item.thickness == row.thickness) there += item.available;
            }
            return wanted > there; // both want the same stack
        };
        std::vector<std::vector<Way>> ways;
        for (const SharedJob& job : request.jobs) {
            SubstituteRequest own = request.common;
            own.legs = job.legs;
            ways.push_back(EveryDeal(own, own.rules.most_other_groups_changed, contested).ways);
        }
        double both = 1e300;
        for (const Way& a : ways[0]) {
            for (const Way& b : ways[1]) {
                if (a.cost + b.cost >= both) break;
                Pieces together = a.pieces;
                for (const auto& [reading, pieces] : b.pieces) together[reading] += pieces;
                const bool fits = std::all_of(together.begin(), together.end(), [&](const auto& wanted) {
                    return wanted.second <= held[wanted.first];
                });
                if (fits) both = a.cost + b.cost;
            }
        }
        CHECK_FALSE((plan.unplanned > 0 && both < 1e300));
        if (!plan.proved) { // one was planned by itself on what the other left
            ++open;
            continue;
        }
        CHECK((plan.unplanned == 0) == (both < 1e300));
        if (plan.unplanned > 0) continue;
        ++planned;
        CHECK(plan.sum_of_deviations == Approx(both).margin(2 * between_lifts));
        std::map<std::string, std::int64_t> left;
        for (const StockItem& item : request.common.stock) left[item.bin] = item.available;
        for (const SharedJobPlan& job : plan.jobs) {
            for (const Pull& pull : job.proposal->pulls) {
                left[pull.bin] -= pull.quantity;
                mixed += pull.per_leg.size() == 2 && pull.per_leg[0] != pull.per_leg[1];
            }
        }
        for (const auto& [name, pieces] : left) CHECK(pieces >= 0);
    }
    CHECK(planned > rounds(30));
    CHECK(open < rounds(60));
    CHECK(mixed > 0); // legs that got discs of different readings
}
