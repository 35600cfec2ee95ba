// Does the shelf do what the reorder point promises? README.md says how it is run and what it last gave.
#include "tests/comparisons/replenishment/shelf_run.h"

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

} // namespace

int main(int count, char** words) {
    const int runs = count > 1 ? numberIn(words[1], 150) : 150;
    const std::string_view only = count > 2 ? words[2] : "";
    constexpr std::uint64_t seed = 20261129;
    const Terms terms;
    std::printf("Promised: %.2f of jobs served in full; %d runs of two years each, seeds from %llu.\n\n",
                terms.promise, runs, static_cast<unsigned long long>(seed));
    std::printf("| process | before: share | cost | now: share | said | cost | oracle: share | cost | now / oracle |\n"
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
    std::printf("\nAt most 2 points under the promise: %d of the %d with a year or more known.\n", kept, judged);
    return kept == judged ? 0 : 1;
}
