// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/kit/kit_problem.h"

#include <cstdint>
#include <random>
#include <vector>

namespace shimledger::planner {

/// How jobs come: of each wanted stack in each window of the season.
struct KitDemand {
    std::vector<std::vector<double>> means; ///< by window of the season, then by wanted stack; jobs, >= 0
    std::vector<int> waiting;               ///< by wanted stack: open jobs, in the season's first window
    double clumping = 1;                    ///< variance over mean, >= 1: Poisson, above it negative binomial
};

/// A number of jobs: Poisson, or with clumping above 1 negative binomial, by inversion, so that the same
/// generator gives the same numbers wherever it runs.
[[nodiscard]] int drawJobs(std::mt19937_64& generator, double mean, double clumping);

/// `count` windows, those of the season in turn. With `in_order` the jobs are in a random order, as they
/// come; else ascending.
[[nodiscard]] std::vector<KitWindow> drawWindows(const KitDemand& demand, int count, std::uint64_t seed,
                                                 bool in_order = false);

} // namespace shimledger::planner
