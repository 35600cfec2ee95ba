// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/kit/demand_windows.h"

#include <cmath>
#include <utility>

namespace shimledger::planner {

namespace {

double uniform(std::mt19937_64& generator) {
    constexpr double two_to_53 = 9007199254740992.0;
    return static_cast<double>(generator() >> 11U) / two_to_53;
}

} // namespace

int drawJobs(std::mt19937_64& generator, double mean, double clumping) {
    const double u = uniform(generator);
    if (!(mean > 0)) return 0;
    constexpr int most = 10000;
    const bool clumped = clumping > 1 + 1e-9;
    const double shape = clumped ? mean / (clumping - 1) : 0;
    const double step = clumped ? (clumping - 1) / clumping : 0;
    double chance = clumped ? std::exp(-shape * std::log(clumping)) : std::exp(-mean);
    double sum = chance;
    int jobs = 0;
    while (u >= sum && jobs < most && (chance > 1e-300 || jobs < mean)) {
        chance *= clumped ? (shape + jobs) / (jobs + 1) * step : mean / (jobs + 1);
        ++jobs;
        sum += chance;
    }
    return jobs;
}

std::vector<KitWindow> drawWindows(const KitDemand& demand, int count, std::uint64_t seed, bool in_order) {
    std::mt19937_64 generator(seed);
    std::vector<KitWindow> windows(static_cast<std::size_t>(count));
    for (std::size_t w = 0; w < windows.size(); ++w) {
        const std::size_t period = w % demand.means.size();
        const std::vector<double>& means = demand.means[period];
        for (std::size_t k = 0; k < means.size(); ++k) {
            int jobs = drawJobs(generator, means[k], demand.clumping);
            if (period == 0 && k < demand.waiting.size()) jobs += demand.waiting[k];
            windows[w].insert(windows[w].end(), static_cast<std::size_t>(jobs), static_cast<int>(k));
        }
        if (!in_order) continue;
        for (std::size_t j = windows[w].size(); j > 1; --j)
            std::swap(windows[w][j - 1], windows[w][generator() % j]);
    }
    return windows;
}

} // namespace shimledger::planner
