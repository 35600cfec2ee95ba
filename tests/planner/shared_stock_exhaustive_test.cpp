// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/shared_stock_plan.h"
#include "planner/substitute/target_groups.h"
#include "tests/planner/every_stack.h"
#include "tests/sanitized.h"

#include <catch2/catch.hpp>

#include <algorithm>
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

using Size = std::pair<Length, Length>; // OD and thickness
using Pieces = std::map<Size, std::int64_t>;

struct Way {
    Pieces pieces; ///< all legs
    double cost = 0;
};

Pieces heldPieces(const SubstituteRequest& request) {
    Pieces held;
    for (const StockItem& item : request.stock) held[{item.od, item.thickness}] += item.available;
    return held;
}

/// Two or three jobs with stacks of their own on the same drawers.
SharedStockRequest randomJobs(std::mt19937& random, int sizes, int most_pieces, int most_jobs) {
    SharedStockRequest request;
    request.common = randomRequest(random, sizes, most_pieces);
    request.common.rules.most_discs_changed.reset();
    request.seconds = 600;
    const int jobs = 2 + static_cast<int>(random() % static_cast<unsigned>(most_jobs - 1));
    for (int j = 0; j < jobs; ++j) {
        const SubstituteRequest own = randomRequest(random, 1, 1);
        // Every other job wants what the first one wants.
        const bool alike = j > 0 && random() % 2 == 0;
        request.jobs.push_back({"J" + std::to_string(j), static_cast<int>(random() % 2),
                                alike ? request.jobs.front().target : own.target, own.legs});
    }
    return request;
}

/// By job and group: all targets together want more of one of its sizes than there is.
bool contested(const SharedStockRequest& request, const DiscRow& row) {
    std::int64_t wanted = 0;
    for (const SharedJob& job : request.jobs) {
        for (const DiscRow& other : job.target->rows()) {
            if (other.od == row.od && other.thickness == row.thickness)
                wanted += static_cast<std::int64_t>(other.count) * job.legs;
        }
    }
    Pieces held = heldPieces(request.common);
    return wanted > held[{row.od, row.thickness}];
}

/// All that one job might get, closest first.
std::vector<Way> waysOf(const SharedStockRequest& request, const SharedJob& job) {
    SubstituteRequest own = request.common;
    own.target = job.target;
    own.legs = job.legs;
    std::vector<Way> ways;
    const EveryStack every(
        own, true, {}, [&](const EveryStack::Counts& counts, int changed, double deviation) {
            Way way;
            int others = 0;
            for (std::size_t g = 0; g < counts.size(); ++g) {
                const DiscRow& row = job.target->rows()[g];
                bool as_wanted = false;
                int kinds = 0;
                for (const auto& [thickness, count] : counts[g]) {
                    if (count == 0) continue;
                    ++kinds;
                    as_wanted = thickness == row.thickness && count == row.count;
                    way.pieces[{row.od, thickness}] += static_cast<std::int64_t>(count) * job.legs;
                }
                others += !(as_wanted && kinds == 1) && !contested(request, row);
            }
            if (others > request.common.rules.most_other_groups_changed) return;
            way.cost = changed == 0 ? 0 : deviation;
            ways.push_back(std::move(way));
        });
    std::sort(ways.begin(), ways.end(), [](const Way& a, const Way& b) { return a.cost < b.cost; });
    return ways;
}

/// Tries every way of every job with every way of the others.
class EveryPlan {
public:
    explicit EveryPlan(const SharedStockRequest& request)
        : m_request(request), m_left(heldPieces(request.common)) {
        for (const SharedJob& job : request.jobs) m_ways.push_back(waysOf(request, job));
        place(0, {0, 0}, 0);
    }

    std::pair<int, int> unplanned{1000, 1000}; ///< of priority 1 and of priority 0
    double sum = 1e300;

private:
    void place(std::size_t j, std::pair<int, int> without, double cost) {
        if (std::tie(without, cost) >= std::tie(unplanned, sum)) return; // it only gets worse
        if (j == m_ways.size()) {
            unplanned = without;
            sum = cost;
            return;
        }
        for (const Way& way : m_ways[j]) {
            if (std::pair(without, cost + way.cost) >= std::pair(unplanned, sum)) break;
            const bool fits = std::all_of(way.pieces.begin(), way.pieces.end(), [&](const auto& wanted) {
                return wanted.second <= m_left[wanted.first];
            });
            if (!fits) continue;
            for (const auto& [size, pieces] : way.pieces) m_left[size] -= pieces;
            place(j + 1, without, cost + way.cost);
            for (const auto& [size, pieces] : way.pieces) m_left[size] += pieces;
        }
        ++(m_request.jobs[j].priority == 1 ? without.first : without.second);
        place(j + 1, without, cost);
    }

    const SharedStockRequest& m_request;
    Pieces m_left;
    std::vector<std::vector<Way>> m_ways;
};

void agrees(const SharedStockRequest& request, long& contended) {
    const SharedStockPlan plan = planTogether(request);
    const EveryPlan every(request);
    std::pair<int, int> unplanned{0, 0};
    Pieces left = heldPieces(request.common);
    for (std::size_t j = 0; j < plan.jobs.size(); ++j) {
        if (!plan.jobs[j].proposal) {
            ++(request.jobs[j].priority == 1 ? unplanned.first : unplanned.second);
            continue;
        }
        for (const Pull& pull : plan.jobs[j].proposal->pulls)
            left[{pull.od, pull.thickness}] -= pull.quantity;
    }
    for (const auto& [size, pieces] : left) CHECK(pieces >= 0);
    if (unplanned < every.unplanned) { // by itself a job may change what the others left it short of
        CHECK_FALSE(plan.proved);
        return;
    }
    CHECK(plan.proved);
    CHECK(unplanned == every.unplanned);
    CHECK(plan.sum_of_deviations == Approx(every.sum).margin(3 * EveryStack::between_lifts));
    for (const SharedJobPlan& job : plan.jobs) {
        if (job.blocked_by.empty()) continue;
        ++contended;
        break;
    }
}

} // namespace

TEST_CASE("several jobs get together what trying every plan finds, on random small drawers") {
    std::mt19937 random(20261126);
    long contended = 0;
    for (int i = 0; i < rounds(60); ++i) {
        CAPTURE(i);
        SharedStockRequest request = randomJobs(random, 3, 2, 3);
        request.common.rules.most_other_groups_changed = i % 3;
        agrees(request, contended);
    }
    CHECK(contended > rounds(10)); // else the drawers gave everybody what they wanted
}
