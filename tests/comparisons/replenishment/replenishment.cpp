// SPDX-License-Identifier: GPL-3.0-or-later
// Does the shelf do what the reorder point promises? README.md says how it is run and what it last gave.
#include "tests/comparisons/replenishment/shelf_run.h"

#include <algorithm>
#include <charconv>
#include <cstdio>
#include <string_view>

using namespace shimledger::comparison;

namespace {

int numberIn(std::string_view text, int otherwise) {
    int value = otherwise;
    std::from_chars(text.data(), text.data() + text.size(), value);
    return value;
}

Outcome manyRuns(const DemandProcess& process, const Rule& rule, const Terms& terms, int runs,
                 std::uint64_t seed) {
    Outcome sum;
    for (int run = 0; run < runs; ++run) {
        sum.add(runShelf(process, rule, terms, seed + static_cast<std::uint64_t>(run)));
    }
    return sum;
}

/// Thirty parts of one supplier, looked at every so many weeks: orders that share their freight.
void orderedTogether(int runs, std::uint64_t seed) {
    constexpr double freight = 950;
    std::vector<DemandProcess> parts;
    for (const DemandProcess& process : demandProcesses()) {
        if (process.judged && process.shape == DemandProcess::Shape::level && process.jobs_a_week < 4) {
            for (int i = 0; i < 5; ++i) parts.push_back(process);
        }
    }
    std::printf("\nThe same promise with %zu parts of one supplier, freight 9.50 an order, %d runs.\n\n",
                parts.size(), runs);
    std::printf(
        "| looked at every | orders a year | freight a year | lines and keeping | in all | share of jobs |\n"
        "|---|---|---|---|---|---|\n");
    for (const int weeks : {1, 2, 4, 8}) {
        Terms terms;
        terms.review_weeks = weeks;
        Outcome sum;
        double orders = 0;
        for (int run = 0; run < runs; ++run) {
            std::vector<bool> any;
            for (std::size_t i = 0; i < parts.size(); ++i) {
                const Outcome one = runShelf(parts[i], ruleNow(parts[i], terms), terms,
                                             seed + 1000 * (i + 1) + static_cast<std::uint64_t>(run));
                any.resize(one.ordered.size(), false);
                for (std::size_t week = 0; week < any.size(); ++week)
                    any[week] = any[week] || one.ordered[week];
                sum.add(one);
            }
            for (const bool week : any) orders += week ? 1 : 0;
        }
        const double years = 2.0 * runs;
        const double shelf = sum.costAYear() * static_cast<double>(parts.size());
        std::printf("| %d weeks | %.1f | %.2f | %.2f | %.2f | %.3f |\n", weeks, orders / years,
                    orders / years * freight / 100, shelf / 100, (shelf + orders / years * freight) / 100,
                    sum.share());
    }
}

} // namespace

int main(int count, char** words) {
    const int runs = count > 1 ? numberIn(words[1], 150) : 150;
    const std::string_view only = count > 2 ? words[2] : "";
    constexpr std::uint64_t seed = 20261129;
    const Terms terms;
    std::printf("Promised: %.2f of jobs served in full; %d runs of two years each, seeds from %llu.\n\n",
                terms.promise, runs, static_cast<unsigned long long>(seed));
    std::printf("| process | before: share | cost | now: share | said | cost | oracle: share | cost | now / "
                "oracle |\n"
                "|---|---|---|---|---|---|---|---|---|\n");
    int kept = 0, judged = 0;
    for (const DemandProcess& process : demandProcesses()) {
        if (process.name.find(only) == std::string::npos) continue;
        const Outcome before = manyRuns(process, ruleBefore(process, terms), terms, runs, seed);
        const Outcome now = manyRuns(process, ruleNow(process, terms), terms, runs, seed);
        Levels best;
        const Outcome known = oracle(process, terms, terms.promise, std::max(20, runs / 2), seed, best);
        std::printf("| %s | %.3f | %.2f | %.3f | %.3f | %.2f | %.3f | %.2f (%d, %d) | %.2f |\n",
                    process.name.c_str(), before.share(), before.costAYear() / 100, now.share(),
                    now.saidShare(), now.costAYear() / 100, known.share(), known.costAYear() / 100,
                    best.point, best.up_to, now.costAYear() / known.costAYear());
        std::fflush(stdout);
        if (!process.judged) continue;
        ++judged;
        kept += now.share() >= terms.promise - 0.02 ? 1 : 0;
    }
    if (only.empty()) orderedTogether(std::max(2, runs / 10), seed);
    std::printf("\nAt most 2 points under the promise: %d of the %d with a year or more known.\n", kept,
                judged);
    return kept == judged ? 0 : 1;
}
