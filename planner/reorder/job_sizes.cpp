// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/reorder/job_sizes.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace shimledger::planner {

namespace {

JobSizes ofMap(const std::map<int, double>& weights) {
    double sum = 0;
    for (const auto& [pieces, weight] : weights) sum += weight;
    JobSizes sizes;
    for (const auto& [pieces, weight] : weights) sizes.chances.push_back({pieces, weight / sum});
    return sizes;
}

} // namespace

double JobSizes::mean() const {
    double sum = 0;
    for (const SizeChance& size : chances) sum += size.chance * size.pieces;
    return sum;
}

double JobSizes::meanSquare() const {
    double sum = 0;
    for (const SizeChance& size : chances) sum += size.chance * size.pieces * size.pieces;
    return sum;
}

JobSizes JobSizes::ofJobs(const std::vector<double>& pieces) {
    std::map<int, double> weights;
    for (const double of_job : pieces) {
        weights[static_cast<int>(std::clamp(std::ceil(of_job - 1e-9), 1.0, 1e9))] += 1;
    }
    return ofMap(weights);
}

JobSizes JobSizes::geometric(double mean) {
    const double stop = 1 / std::max(1.0, mean);
    std::map<int, double> weights;
    // Long tails in twenty steps: a fluid is counted in millilitres, by the thousand.
    const double last = stop >= 1 ? 1 : std::max(1.0, std::log(1e-3) / std::log(1 - stop));
    const double step = std::max(1.0, last / 60);
    double above = 1; // chance of more than the pieces so far
    for (double from = 0; from < last; from += step) {
        const double to = std::ceil(from + step - 1e-9);
        const double beyond = stop >= 1 ? 0 : std::pow(1 - stop, to);
        weights[static_cast<int>(std::ceil((std::ceil(from) + 1 + to) / 2))] += above - beyond;
        above = beyond;
    }
    return ofMap(weights);
}

JobSizes mixed(const JobSizes& first, const JobSizes& second, double share) {
    std::map<int, double> weights;
    for (const SizeChance& size : first.chances) weights[size.pieces] += (1 - share) * size.chance;
    for (const SizeChance& size : second.chances) weights[size.pieces] += share * size.chance;
    std::erase_if(weights, [](const auto& entry) { return entry.second <= 0; });
    return weights.empty() ? JobSizes{} : ofMap(weights);
}

} // namespace shimledger::planner
