// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/reorder/intermittent_forecast.h"

#include "planner/units/input_error.h"

#include <cstddef>

namespace shimledger::planner {

namespace {

void check(const std::vector<double>& demand, double alpha, double beta) {
    if (!(alpha > 0 && alpha <= 1 && beta > 0 && beta <= 1)) {
        throw InputError("A smoothing factor must be more than 0 and at most 1.");
    }
    for (const double pieces : demand) {
        if (!(pieces >= 0)) {
            throw InputError("Demand in a period must be 0 or more.");
        }
    }
}

} // namespace

double correctionFactor(CrostonCorrection correction, double alpha) {
    check({}, alpha, alpha);
    switch (correction) {
    case CrostonCorrection::sba:
        return 1 - alpha / 2;
    case CrostonCorrection::sbj:
        return 1 - alpha / (2 - alpha);
    case CrostonCorrection::none:
        break;
    }
    return 1;
}

IntermittentForecast crostonForecast(const std::vector<double>& demand, double alpha,
                                     CrostonCorrection correction) {
    check(demand, alpha, alpha);
    IntermittentForecast forecast;
    int waited = 0;
    for (const double pieces : demand) {
        ++waited;
        if (pieces == 0) {
            continue;
        }
        const bool first = forecast.interval == 0;
        forecast.size = first ? pieces : forecast.size + alpha * (pieces - forecast.size);
        forecast.interval = first ? waited : forecast.interval + alpha * (waited - forecast.interval);
        waited = 0;
    }
    if (forecast.interval > 0) {
        forecast.probability = 1 / forecast.interval;
        forecast.per_period = correctionFactor(correction, alpha) * forecast.size / forecast.interval;
    }
    return forecast;
}

IntermittentForecast tsbForecast(const std::vector<double>& demand, double alpha, double beta) {
    check(demand, alpha, beta);
    IntermittentForecast forecast;
    int first = 0;
    while (first < static_cast<int>(demand.size()) && demand[static_cast<std::size_t>(first)] == 0) {
        ++first;
    }
    if (first == static_cast<int>(demand.size())) {
        return forecast;
    }
    forecast.size = demand[static_cast<std::size_t>(first)];
    forecast.probability = 1.0 / (first + 1);
    // The start values stand before period 1, so the whole series is smoothed over them.
    for (const double pieces : demand) {
        forecast.probability += beta * ((pieces > 0 ? 1 : 0) - forecast.probability);
        if (pieces > 0) {
            forecast.size += alpha * (pieces - forecast.size);
        }
    }
    forecast.per_period = forecast.size * forecast.probability;
    return forecast;
}

} // namespace shimledger::planner
