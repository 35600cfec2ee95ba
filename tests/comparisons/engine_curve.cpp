// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/lift_model.h"
#include "planner/stack/stack_text.h"

#include <charconv>
#include <ctime>
#include <exception>
#include <iomanip>
#include <iostream>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;

namespace {

double number(std::string_view text) {
    double value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc() || end != text.data() + text.size())
        throw std::runtime_error("'" + std::string(text) + "' is not a number");
    return value;
}

Length millimetres(std::string_view text) {
    return Length::fromMillimetres(number(text));
}

/// Processor seconds of this process.
double processorSeconds() {
    timespec now{};
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

struct TimedCurve {
    std::vector<double> lifts_mm;
    double mean_seconds = 0;
};

/// Every repeat starts from a new workspace, which knows nothing of the solutions before it.
TimedCurve timedCurve(const LiftModel& model, const GroupedStack& grouped,
                      const std::vector<double>& pressures_mpa, Regime regime, int repeats) {
    TimedCurve curve{std::vector<double>(pressures_mpa.size()), 0};
    for (int repeat = 0; repeat < repeats; ++repeat) {
        LiftWorkspace workspace = model.makeWorkspace();
        const double start = processorSeconds();
        const SolveReport report =
            model.liftsAtPressures(grouped.sums, pressures_mpa, regime, workspace, curve.lifts_mm);
        curve.mean_seconds += (processorSeconds() - start) / repeats;
        if (!report.converged) throw std::runtime_error(report.reason);
    }
    return curve;
}

double meanTableSeconds(const StackSpec& stack, const GroupedStack& grouped, int repeats) {
    const double start = processorSeconds();
    for (int repeat = 0; repeat < repeats; ++repeat) LiftModel(stack.valve(), grouped.shapes);
    return (processorSeconds() - start) / repeats;
}

void run(const std::vector<std::string_view>& arguments) {
    if (arguments.size() < 6)
        throw std::runtime_error(
            "give: small|large clamp port-inner port-outer (diameters, mm) stack pressures (MPa)");
    if (arguments[0] != "small" && arguments[0] != "large")
        throw std::runtime_error("the regime must be small or large");
    const Regime regime = arguments[0] == "large" ? Regime::large : Regime::small;
    const StackSpec stack({millimetres(arguments[1]),
                           millimetres(arguments[2]),
                           millimetres(arguments[3]),
                           Length::fromMillimetres(6),
                           {},
                           {}},
                          parseStackText(arguments[4]));
    std::vector<double> pressures_mpa;
    for (std::size_t i = 5; i < arguments.size(); ++i) pressures_mpa.push_back(number(arguments[i]));

    const GroupedStack grouped = groupStack(stack);
    const LiftModel model(stack.valve(), grouped.shapes);
    timedCurve(model, grouped, pressures_mpa, regime, 20); // warm caches and branch predictors
    const TimedCurve curve = timedCurve(model, grouped, pressures_mpa, regime, 2000);
    std::cout << std::setprecision(10) << curve.mean_seconds << ' ' << meanTableSeconds(stack, grouped, 50);
    for (const double lift_mm : curve.lifts_mm) std::cout << ' ' << lift_mm;
    std::cout << '\n';
}

} // namespace

/// Prints, for compare.py: mean processor seconds of the curve, of making the model's tables, then the lifts
/// in mm.
int main(int argc, char** argv) {
    try {
        run({argv + 1, argv + argc});
    } catch (const std::exception& error) {
        std::cerr << error.what() << '\n';
        return 1;
    }
}
