#include <benchmark/benchmark.h>

#include "planner/stack/stack_text.h"
#include "planner/substitute/substitute_search.h"

#include <algorithm>
#include <random>
#include <string>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;

// Speed goals of the substitute search, one core: a typical drawer (120 bins, 12 discs, one size short, ODs
// kept) proved under 0.2 s; a hard case (three sizes short in a nine-group crossover, neighbouring ODs
// allowed, 200 bins) proved or with a stated gap under 5 s; the first proposal always under 0.5 s.

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

void search(benchmark::State& state, SubstituteRequest request) {
    SubstituteResult result;
    double first = -1;
    request.progress = [&first](const SubstituteProgress& progress) {
        if (first < 0 && progress.best_deviation < 1e300) first = progress.seconds;
        return true;
    };
    for (auto _ : state) result = findSubstitutes(request);
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

} // namespace
