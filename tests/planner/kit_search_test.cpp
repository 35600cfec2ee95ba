// SPDX-License-Identifier: GPL-3.0-or-later
// The kit's two stages on tiny shops against trying everything: every assignment, every number of packs.
#include "planner/kit/demand_windows.h"
#include "planner/kit/kit_bound.h"
#include "planner/kit/kit_search.h"
#include "planner/kit/plain_levels.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <random>

using namespace shimledger::planner;

namespace {

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

class TinyShops {
public:
    explicit TinyShops(unsigned seed) : m_random(seed) {}

    int between(int low, int high) {
        return low + static_cast<int>(m_random() % static_cast<unsigned>(high - low + 1));
    }

    KitProblem shop() {
        KitProblem problem;
        const int sizes = between(3, 4), stacks = between(2, 4);
        for (int i = 0; i < sizes; ++i) {
            KitStock stock;
            stock.on_hand = between(0, 2) == 0 ? between(1, 4) : 0;
            stock.pack_size = between(2, 5);
            stock.pack_price = between(0, 9) == 0 ? 0 : between(2, 6) * 100;
            problem.sizes.push_back(stock);
        }
        for (int k = 0; k < stacks; ++k) {
            std::vector<KitWay> ways;
            for (int w = between(1, 3); w > 0; --w) {
                KitWay way;
                for (int i = 0; i < sizes; ++i) {
                    if (between(0, 1) == 0) way.uses.push_back({i, between(1, 4)});
                }
                if (!way.uses.empty()) ways.push_back(way);
            }
            problem.ways.push_back(ways);
        }
        for (int s = between(2, 5); s > 0; --s) {
            KitWindow window;
            for (int j = between(0, 4); j > 0; --j) window.push_back(between(0, stacks - 1));
            std::sort(window.begin(), window.end());
            problem.windows.push_back(window);
        }
        problem.budget = between(3, 22) * 100;
        if (between(0, 1) == 0) problem.drawers = between(1, sizes);
        return problem;
    }

private:
    std::mt19937 m_random;
};

/// Every way of every job, in turn.
int mostBuilt(const KitProblem& problem, const KitWindow& window, std::vector<int> discs,
              std::size_t job = 0) {
    if (job == window.size()) return 0;
    int best = mostBuilt(problem, window, discs, job + 1);
    for (const KitWay& way : problem.ways[at(window[job])]) {
        std::vector<int> left = discs;
        bool fits = true;
        for (const KitUse& use : way.uses) fits = (left[at(use.size)] -= use.discs) >= 0 && fits;
        if (fits) best = std::max(best, 1 + mostBuilt(problem, window, left, job + 1));
    }
    return best;
}

struct Best {
    int built = -1;
    std::int64_t cost = 0;
};

/// Every choice of drawers and every number of packs.
void tryAll(const KitProblem& problem, std::size_t size, KitLevels& levels, Best& best) {
    if (costOf(problem.sizes, levels) > problem.budget || drawersOf(levels) > problem.drawers.value_or(100))
        return;
    if (size == problem.sizes.size()) {
        int built = 0;
        for (const KitWindow& window : problem.windows)
            built += mostBuilt(problem, window, discsOf(problem.sizes, levels));
        const std::int64_t cost = costOf(problem.sizes, levels);
        if (built > best.built || (built == best.built && cost < best.cost)) best = {built, cost};
        return;
    }
    tryAll(problem, size + 1, levels, best);
    levels.has_drawer[size] = true;
    const int most = problem.sizes[size].pack_price > 0 ? 8 : 0;
    for (int packs = 0; packs <= most; ++packs) {
        levels.packs[size] = packs;
        tryAll(problem, size + 1, levels, best);
    }
    levels.packs[size] = 0;
    levels.has_drawer[size] = false;
}

Best bestOfAll(const KitProblem& problem) {
    KitLevels levels{std::vector<bool>(problem.sizes.size(), false),
                     std::vector<int>(problem.sizes.size(), 0)};
    Best best;
    tryAll(problem, 0, levels, best);
    return best;
}

} // namespace

TEST_CASE("of a window's jobs as many are built as trying every assignment builds") {
    TinyShops shops(11);
    int windows = 0;
    for (int round = 0; round < 400; ++round) {
        const KitProblem problem = shops.shop();
        std::vector<int> discs;
        for (std::size_t i = 0; i < problem.sizes.size(); ++i) discs.push_back(shops.between(0, 9));
        WindowPacking packing(problem.ways);
        for (const KitWindow& window : problem.windows) {
            PackedWindow packed, in_order;
            packing.pack(window, discs, 100'000, packed);
            CAPTURE(round, windows);
            CHECK(packed.proved);
            CHECK(packed.built == mostBuilt(problem, window, discs));
            // What is told is what the drawers give.
            std::vector<int> left = discs;
            for (std::size_t j = 0; j < window.size(); ++j) {
                if (packed.way[j] < 0) continue;
                for (const KitUse& use : problem.ways[at(window[j])][at(packed.way[j])].uses)
                    left[at(use.size)] -= use.discs;
            }
            CHECK(std::all_of(left.begin(), left.end(), [](int discs_left) { return discs_left >= 0; }));
            const std::vector<double> worth(discs.size(), 1);
            packing.packInOrder(window, discs, worth, in_order);
            CHECK(in_order.built <= packed.built);
            ++windows;
        }
    }
    CHECK(windows > 800);
}

TEST_CASE("in tiny shops no number of packs builds more than the plan") {
    TinyShops shops(5);
    int interesting = 0, cheapest = 0;
    constexpr int rounds = 60;
    for (int round = 0; round < rounds; ++round) {
        const KitProblem problem = shops.shop();
        const Best best = bestOfAll(problem);
        const KitFound found = searchKit(problem, {}, {4000, 1, {}});
        CAPTURE(round);
        CHECK(found.built == best.built);
        cheapest += found.cost == best.cost ? 1 : 0;
        CHECK(static_cast<double>(found.cost) <= 1.15 * static_cast<double>(best.cost));
        CHECK(found.cost == costOf(problem.sizes, found.levels));
        CHECK(drawersOf(found.levels) <= problem.drawers.value_or(100));
        CHECK(weighKit(problem, found.levels).built == found.built);
        interesting += best.cost > 0 && best.built < static_cast<int>(problem.jobs()) ? 1 : 0;
    }
    CHECK(interesting > 15);
    CHECK(cheapest >= rounds - 3); // it looks for most jobs, and for the least money by the way
}

TEST_CASE("the bound is never below what some number of packs builds") {
    TinyShops shops(77);
    int tight = 0;
    for (int round = 0; round < 150; ++round) {
        const KitProblem problem = shops.shop();
        const Best best = bestOfAll(problem);
        for (const int rounds : {1, 20, 400}) {
            CAPTURE(round, rounds);
            const KitBound bound = boundKit(problem, best.built, {rounds, {}});
            CHECK(bound.built >= best.built - 1e-6);
            tight += rounds == 400 && bound.built < best.built + 1 ? 1 : 0;
        }
    }
    CHECK(tight > 75); // a bound that says nothing would be no bound
}

TEST_CASE("what is locked in has a drawer and what is locked out has none") {
    TinyShops shops(3);
    for (int round = 0; round < 40; ++round) {
        KitProblem problem = shops.shop();
        problem.drawers.reset();
        problem.sizes[0].kept = true;
        problem.sizes[1].left_out = true;
        const KitFound found = searchKit(problem, {}, {500, 1, {}});
        CHECK(found.levels.has_drawer[0]);
        CHECK_FALSE(found.levels.has_drawer[1]);
        const KitLevels plain = plainLevels(problem, std::vector<KitWay>(problem.ways.size()));
        CHECK(plain.has_drawer[0]);
        CHECK_FALSE(plain.has_drawer[1]);
    }
}

TEST_CASE("reorder points stay within money and drawers and use what is left of it") {
    TinyShops shops(9);
    for (int round = 0; round < 200; ++round) {
        const KitProblem problem = shops.shop();
        std::vector<KitWay> wanted;
        for (const auto& ways : problem.ways) wanted.push_back(ways.empty() ? KitWay{} : ways.front());
        const KitLevels plain = plainLevels(problem, wanted);
        CHECK(costOf(problem.sizes, plain) <= problem.budget);
        CHECK(drawersOf(plain) <= problem.drawers.value_or(100));
    }
}

TEST_CASE("jobs are drawn with the mean and the clumping that are asked for") {
    for (const double clumping : {1.0, 2.5}) {
        std::mt19937_64 generator(4);
        double sum = 0, squares = 0;
        constexpr int draws = 40'000;
        constexpr double mean = 3.2;
        for (int i = 0; i < draws; ++i) {
            const int jobs = drawJobs(generator, mean, clumping);
            sum += jobs;
            squares += (jobs - mean) * (jobs - mean);
        }
        CHECK(sum / draws == Approx(mean).margin(0.06));
        CHECK(squares / draws / mean == Approx(clumping).epsilon(0.05));
    }
    CHECK(drawWindows({{{1.0, 2.0}}, {3, 0}, 1}, 20, 8) == drawWindows({{{1.0, 2.0}}, {3, 0}, 1}, 20, 8));
}
