// SPDX-License-Identifier: GPL-3.0-or-later
#include <benchmark/benchmark.h>

#include "planner/mechanics/lift_model.h"
#include "planner/stack/stack_text.h"
#include "planner/substitute/substitute_search.h"

#include <algorithm>
#include <ctime>
#include <random>
#include <string>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;

// Speed goals of the substitute search, user and system time of a quiet machine: nine groups and 54 lines,
// large deflection, 0.3 s; five thicknesses of eight each, one taper size out, 1 s, two out 5 s; 117 full
// lines 1 s; in rich drawers within 0.5 points of the best known after 1 s and within 0.1 after 10 s.
// `curves` is the same time as a multiple of a fixed piece of work of the same run, which a busy machine does
// not blur: a thousand ten-point large-deflection curves of a nine-group crossover.

namespace {

Length um(int micrometres) {
    return Length::fromMicrometres(micrometres);
}

/// `bins` bins of 6 mm bore: ODs 12 to 24 mm, thicknesses 0.10 mm up, 2 to 24 pieces each.
std::vector<StockItem> drawer(int bins, unsigned seed) {
    std::mt19937 random(seed);
    const std::vector<int> thicknesses{100, 150, 200, 120, 250, 110, 300, 80,
                                       130, 180, 220, 160, 90,  140, 170, 280};
    std::vector<StockItem> stock;
    for (int i = 0; i < bins; ++i) {
        const int od = 24 - i % 13;
        const int thickness = thicknesses[static_cast<std::size_t>(i / 13)];
        const auto pieces = static_cast<std::int64_t>(2 + random() % 23);
        stock.push_back({"B" + std::to_string(i),
                         "",
                         um(od * 1000),
                         um(6000),
                         um(thickness),
                         {},
                         false,
                         pieces,
                         i,
                         0,
                         static_cast<std::int64_t>(100 + thickness / 10)});
    }
    return stock;
}

/// The drawer holds of each size of the target at least what `legs` need, of the short ones `left` pieces.
void setPieces(SubstituteRequest& request, const std::vector<int>& short_rows, std::int64_t left) {
    const auto& rows = request.target->rows();
    for (std::size_t row = 0; row < rows.size(); ++row) {
        const bool is_short =
            std::find(short_rows.begin(), short_rows.end(), static_cast<int>(row)) != short_rows.end();
        for (StockItem& item : request.stock) {
            if (item.od != rows[row].od || item.thickness != rows[row].thickness) continue;
            item.available = is_short ? left : std::max<std::int64_t>(item.available, 2 * rows[row].count);
        }
    }
}

SubstituteRequest request(const char* stack, int bins, const std::vector<int>& short_rows) {
    SubstituteRequest request;
    request.target = StackSpec({um(10'000), um(13'000), um(20'000), um(6000), {}, {}}, parseStackText(stack));
    request.stock = drawer(bins, 17);
    setPieces(request, short_rows, 3);
    return request;
}

SubstituteRequest typicalTaper(bool face) {
    return request("5 x 24 x 0.15, 1 x 22 x 0.15, 1 x 20 x 0.15, 1 x 18 x 0.20, 2 x 16 x 0.15, 1 x 14 x "
                   "0.20, 1 x 12 x 0.25",
                   120, {face ? 0 : 4});
}

SubstituteRequest typicalCrossover(bool face) {
    return request("4 x 24 x 0.15, 1 x 15 x 0.10, 2 x 22 x 0.15, 1 x 20 x 0.15, 1 x 18 x 0.15, 1 x 16 x "
                   "0.15, 1 x 14 x 0.20, 1 x 12 x 0.25",
                   120, {face ? 0 : 2});
}

SubstituteRequest hard() {
    SubstituteRequest hard =
        request("5 x 24 x 0.10, 1 x 14 x 0.10, 3 x 23 x 0.15, 2 x 21 x 0.15, 1 x 19 x 0.15, "
                "1 x 17 x 0.15, 1 x 15 x 0.15, 1 x 13 x 0.20, 1 x 12 x 0.20",
                200, {0, 2, 3});
    hard.rules.keep_every_od = false;
    hard.limits.seconds = 4;
    return hard;
}

/// Nine groups behind a crossover; `thicknesses` of every OD, so many of each, but none of the sizes that are
/// out.
SubstituteRequest nineGroups(const std::vector<int>& thicknesses, std::int64_t each,
                             const std::vector<int>& rows_out) {
    SubstituteRequest request;
    request.target = StackSpec({um(10'000), um(13'000), um(20'000), um(6000), {}, {}},
                               parseStackText("5 x 24 x 0.10, 1 x 14 x 0.10, 1 x 23 x 0.15, 1 x 21 x 0.15, "
                                              "1 x 19 x 0.15, 1 x 17 x 0.15, 1 x 15 x 0.15, 1 x 13 x 0.15, "
                                              "1 x 12 x 0.20"));
    const std::vector<DiscRow>& rows = request.target->rows();
    for (std::size_t row = 0; row < rows.size(); ++row) {
        const bool out = std::find(rows_out.begin(), rows_out.end(), static_cast<int>(row)) != rows_out.end();
        for (const int thickness : thicknesses) {
            if (out && um(thickness) == rows[row].thickness) continue;
            request.stock.push_back({"B" + std::to_string(request.stock.size()),
                                     "",
                                     rows[row].od,
                                     um(6000),
                                     um(thickness),
                                     {},
                                     false,
                                     std::max<std::int64_t>(each, 2 * rows[row].count),
                                     0,
                                     0});
        }
    }
    return request;
}

/// 54 lines: six thicknesses, a few of each.
SubstituteRequest lines54() {
    return nineGroups({80, 100, 120, 150, 200, 250}, 4, {4});
}

/// 117 full lines: thirteen thicknesses of every OD.
SubstituteRequest lines117() {
    return nineGroups({50, 80, 100, 110, 120, 130, 150, 160, 180, 200, 220, 250, 300}, 24, {2, 4});
}

SubstituteRequest rich(double seconds) {
    SubstituteRequest request = nineGroups({50, 80, 100, 120, 150, 180, 200, 250, 300}, 30, {2, 3, 4, 5, 6});
    request.limits.seconds = seconds;
    return request;
}

double processorSeconds() {
    return static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

/// The fixed piece of work.
double secondsOfCurves() {
    static const double seconds = [] {
        const SubstituteRequest request = lines54();
        const GroupedStack grouped = groupStack(*request.target);
        const LiftModel model(request.target->valve(), grouped.shapes);
        LiftWorkspace workspace = model.makeWorkspace();
        std::vector<double> lifts, pressures(10);
        for (int i = 1; i <= 10; ++i) lifts.push_back(0.03 * i);
        const double start = processorSeconds();
        for (int i = 0; i < 1000; ++i) {
            benchmark::DoNotOptimize(
                model.pressuresAtLifts(grouped.sums, lifts, Regime::large, workspace, pressures));
        }
        return processorSeconds() - start;
    }();
    return seconds;
}

void search(benchmark::State& state, SubstituteRequest request) {
    const double unit = secondsOfCurves();
    const double start = processorSeconds();
    SubstituteResult result;
    double first = -1;
    request.progress = [&first](const SubstituteProgress& progress) {
        if (first < 0 && progress.best_deviation < 1e300) first = progress.seconds;
        return true;
    };
    for (auto _ : state) result = findSubstitutes(request);
    const double each = (processorSeconds() - start) / static_cast<double>(state.iterations());
    state.counters["cpu_s"] = each;
    state.counters["curves"] = each / unit;
    state.counters["widened"] = result.basis.widened;
    state.counters["proved"] = result.status == SubstituteStatus::proved_best;
    state.counters["deviation_percent"] =
        result.proposals.empty() ? -1 : 100 * result.proposals.front().deviation.max_deviation;
    state.counters["bound_percent"] = 100 * result.lower_bound;
    state.counters["examined"] = static_cast<double>(result.examined);
    state.counters["excluded"] = static_cast<double>(result.excluded);
    state.counters["first_s"] = first;
    state.counters["choices"] = static_cast<double>(result.proposals.size());
}

BENCHMARK_CAPTURE(search, typical_taper_face_short, typicalTaper(true))->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(search, typical_taper_support_short, typicalTaper(false))->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(search, typical_crossover_face_short, typicalCrossover(true))
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(search, typical_crossover_second_stage_short, typicalCrossover(false))
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(search, hard_crossover_three_short, hard())->Unit(benchmark::kMillisecond)->Iterations(1);
BENCHMARK_CAPTURE(search, nine_groups_54_lines, lines54())->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(search, five_of_eight_one_out, nineGroups({100, 120, 150, 200, 250}, 8, {4}))
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(search, five_of_eight_two_out, nineGroups({100, 120, 150, 200, 250}, 8, {4, 5}))
    ->Unit(benchmark::kMillisecond)
    ->Iterations(1);
BENCHMARK_CAPTURE(search, lines_117_full, lines117())->Unit(benchmark::kMillisecond)->Iterations(1);
BENCHMARK_CAPTURE(search, rich_after_1_s, rich(1))->Unit(benchmark::kMillisecond)->Iterations(1);
BENCHMARK_CAPTURE(search, rich_after_10_s, rich(10))->Unit(benchmark::kMillisecond)->Iterations(1);

} // namespace
