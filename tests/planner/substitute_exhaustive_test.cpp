#include "planner/mechanics/lift_curve.h"
#include "planner/mechanics/lift_model.h"
#include "planner/substitute/substitute_search.h"
#include "tests/sanitized.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <map>
#include <random>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;
using namespace shimledger::length_literals;

namespace {

Length um(int micrometres) {
    return Length::fromMicrometres(micrometres);
}

/// A few sizes of every OD in small numbers; any group may change.
SubstituteRequest randomRequest(std::mt19937& random, int sizes, int most_pieces) {
    const auto pick = [&](int low, int high) {
        return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
    };
    const std::vector<int> thicknesses{80, 100, 120, 150, 200, 250};
    const auto thickness = [&] { return um(thicknesses[random() % thicknesses.size()]); };
    SubstituteRequest request;
    std::vector<DiscRow> rows{{pick(1, 4), 24_mm, thickness(), {}, {}}};
    if (pick(0, 1) == 1) {
        rows.push_back({1, 16_mm, um(pick(1, 2) * 100), {}, {}});
        rows.push_back({pick(1, 2), 22_mm, thickness(), {}, {}});
    } else {
        rows.push_back({pick(1, 2), 20_mm, thickness(), {}, {}});
    }
    rows.push_back({1, 14_mm, thickness(), {}, {}});
    request.target = StackSpec({10_mm, 13_mm, 20_mm, 6_mm, {}, 0_mm}, rows);
    request.legs = pick(1, 2);
    for (const int od : {24, 22, 20, 16, 14}) {
        for (int i = 0; i < sizes; ++i) {
            const int pieces = pick(0, most_pieces) * request.legs + pick(0, request.legs - 1);
            const std::string bin = std::to_string(od) + "-" + std::to_string(i);
            request.stock.push_back({bin, "", um(od * 1000), 6_mm, thickness(), {}, false, pieces, i, 0});
        }
    }
    request.rules.most_other_groups_changed = 10;
    request.rules.height_tolerance = um(pick(0, 2) * 150);
    request.rules.crossover_od_tolerance = um(0);
    if (pick(0, 3) == 0) request.rules.most_discs_changed = pick(1, 4);
    request.rules.regime = pick(0, 4) == 0 ? Regime::small : Regime::large;
    request.limits.seconds = 600;
    request.limits.candidates = 1'000'000'000;
    request.limits.gap = 0;
    return request;
}

/// Tries every count of every size, knowing nothing of states, boxes or bounds.
class EveryStack {
public:
    explicit EveryStack(const SubstituteRequest& request)
        : m_request(request), m_target(groupStack(*request.target)),
          m_model(request.target->valve(), m_target.shapes), m_workspace(m_model.makeWorkspace()),
          m_lifts(comparisonLifts(request.rules.working_lift_mm)), m_wanted(m_lifts.size()),
          m_got(m_lifts.size()) {
        REQUIRE(m_model.pressuresAtLifts(m_target.sums, m_lifts, request.rules.regime, m_workspace, m_wanted)
                    .converged);
        for (const StockItem& item : request.stock) m_held[item.od][item.thickness] += item.available;
        m_sums.resize(m_target.sums.size());
        group(0, Length(), 0);
    }

    double best = 1e300;
    long tried = 0;

private:
    void group(std::size_t g, Length height, int changed) {
        const auto& rows = m_request.target->rows();
        if (g == rows.size()) {
            judge(height, changed);
            return;
        }
        m_sums[g] = {};
        std::vector<std::pair<Length, int>> chosen;
        size(g, m_held[rows[g].od].begin(), chosen, height, changed);
    }

    using Sizes = std::map<Length, std::int64_t>;

    void size(std::size_t g, Sizes::const_iterator at, std::vector<std::pair<Length, int>>& chosen,
              Length height, int changed) {
        const DiscRow& row = m_request.target->rows()[g];
        if (at == m_held[row.od].end()) {
            Length thick;
            int discs = 0, kept = 0;
            GroupSums sums;
            for (const auto& [t, count] : chosen) {
                thick += count * t;
                discs += count;
                if (t == row.thickness) kept = std::min(count, row.count);
                const GroupSums own = sumsOf(count, t.millimetres(), row.material.elastic_modulus_mpa);
                sums.thickness_mm += own.thickness_mm;
                sums.bending_n_mm += own.bending_n_mm;
                sums.membrane_n_per_mm += own.membrane_n_per_mm;
            }
            const bool crossover = row.od == 16_mm;
            if (discs == 0 || (crossover && thick != row.count * row.thickness)) return;
            m_sums[g] = sums;
            group(g + 1, height + thick, changed + std::max(row.count - kept, discs - row.count));
            return;
        }
        const auto next = std::next(at);
        for (int count = 0; count <= at->second / m_request.legs; ++count) {
            chosen.emplace_back(at->first, count);
            size(g, next, chosen, height, changed);
            chosen.pop_back();
        }
    }

    void judge(Length height, int changed) {
        const SubstituteRules& rules = m_request.rules;
        const std::int64_t off = std::abs((height - m_request.target->height()).micrometres());
        if (off > rules.height_tolerance.micrometres()) return;
        if (rules.most_discs_changed && changed > *rules.most_discs_changed) return;
        ++tried;
        REQUIRE(m_model.pressuresAtLifts(m_sums, m_lifts, rules.regime, m_workspace, m_got).converged);
        double deviation = 0;
        for (std::size_t i = 0; i < m_lifts.size(); ++i)
            deviation = std::max(deviation, std::abs(m_got[i] / m_wanted[i] - 1));
        best = std::min(best, deviation);
    }

    const SubstituteRequest& m_request;
    GroupedStack m_target;
    LiftModel m_model;
    LiftWorkspace m_workspace;
    std::vector<double> m_lifts, m_wanted, m_got;
    std::map<Length, Sizes> m_held;
    std::vector<GroupSums> m_sums;
};

/// How many stacks keep the rules: by number of ways to each height, group by group.
std::int64_t stacksWithin(const SubstituteRequest& request) {
    std::map<std::int64_t, std::int64_t> ways{{0, 1}};
    for (const DiscRow& row : request.target->rows()) {
        std::map<std::int64_t, std::int64_t> of_group{{0, 1}};
        std::map<Length, std::int64_t> held;
        for (const StockItem& item : request.stock) {
            if (item.od == row.od) held[item.thickness] += item.available;
        }
        for (const auto& [thickness, pieces] : held) {
            std::map<std::int64_t, std::int64_t> next;
            for (const auto& [height, count] : of_group) {
                for (std::int64_t n = 0; n <= pieces / request.legs; ++n)
                    next[height + n * thickness.micrometres()] += count;
            }
            of_group = std::move(next);
        }
        of_group.erase(0); // no disc at all
        const std::int64_t gap = (row.count * row.thickness).micrometres();
        std::map<std::int64_t, std::int64_t> next;
        for (const auto& [height, count] : ways) {
            for (const auto& [more, of_this] : of_group) {
                if (row.od != 16_mm || more == gap) next[height + more] += count * of_this;
            }
        }
        ways = std::move(next);
    }
    std::int64_t stacks = 0;
    for (const auto& [height, count] : ways) {
        const std::int64_t off = std::abs(height - request.target->height().micrometres());
        if (off <= request.rules.height_tolerance.micrometres()) stacks += count;
    }
    return stacks;
}

void compare(const SubstituteRequest& request, long& tried, int& found, int& impossible, int& chosen) {
    const EveryStack every(request);
    const SubstituteResult result = findSubstitutes(request);
    tried += every.tried;
    if (every.tried == 0) {
        ++impossible;
        CHECK(result.status == SubstituteStatus::nothing_possible);
        CHECK_FALSE(result.message.empty());
        return;
    }
    ++found;
    if (!result.shortages.empty() && every.tried > 1) ++chosen;
    REQUIRE(result.status == SubstituteStatus::proved_best);
    CHECK(result.proposals.front().deviation.max_deviation == Approx(every.best).margin(1e-6));
    CHECK(result.lower_bound <= every.best + 1e-6);
}

} // namespace

TEST_CASE("the search finds what trying every stack finds, on three hundred random drawers") {
    std::mt19937 random(4711); // fixed seed: the same drawers every time
    long tried = 0;
    int found = 0, impossible = 0, chosen = 0;
    for (int round = 0; round < test::rounds(300); ++round) {
        CAPTURE(round);
        compare(randomRequest(random, 3, 2), tried, found, impossible, chosen);
    }
    CHECK(found > test::rounds(60));
    CHECK(impossible > test::rounds(20));
    CHECK(chosen >
          test::rounds(60)); // short ones with a choice, so that the search had something to get wrong
    CHECK(tried > test::rounds(2000));
}

TEST_CASE("the search finds what trying more than a hundred thousand stacks finds", "[.long]") {
    std::mt19937 random(99);
    int large = 0;
    for (int round = 0; round < 200 && large < 3; ++round) {
        SubstituteRequest request = randomRequest(random, 5, 4);
        request.rules.most_discs_changed.reset();
        request.rules.height_tolerance = um(300);
        // Only those that are large, yet can be tried within minutes.
        const std::int64_t stacks = stacksWithin(request);
        if (stacks < 100'000 || stacks > 400'000) continue;
        CAPTURE(round, stacks);
        long tried = 0;
        int found = 0, impossible = 0, chosen = 0;
        compare(request, tried, found, impossible, chosen);
        CHECK(tried == stacks);
        WARN("stacks tried one by one: " << tried);
        ++large;
    }
    CHECK(large == 3);
}
