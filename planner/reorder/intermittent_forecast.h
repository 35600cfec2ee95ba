// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

namespace shimledger::planner {

/// A yardstick: plans rest on forecastDemand, which learns jobs and sizes apart. Smoothed size and interval
/// (Croston) or probability (TSB) of an intermittent series, after its last period.
struct IntermittentForecast {
    double size = 0;        ///< pieces per period with demand
    double interval = 0;    ///< periods between demands, the first counted from period 0; 0 for TSB
    double probability = 0; ///< of demand in a period; 1/interval for Croston
    double per_period = 0;  ///< the forecast
};

/// Croston's forecast is biased upwards; both corrections are known under their authors' initials.
enum class CrostonCorrection {
    none,
    sba, ///< Syntetos and Boylan: times 1 - alpha/2
    sbj  ///< Shale, Boylan and Johnston: times 1 - alpha/(2 - alpha)
};

[[nodiscard]] double correctionFactor(CrostonCorrection correction, double alpha);

/// alpha in 0..1. A series without demand forecasts 0. Negative demand or a bad alpha raises InputError.
[[nodiscard]] IntermittentForecast crostonForecast(const std::vector<double>& demand, double alpha,
                                                   CrostonCorrection correction);
/// TSB: the probability is smoothed every period, so that a dead part fades. Start values stand before
/// period 1.
[[nodiscard]] IntermittentForecast tsbForecast(const std::vector<double>& demand, double alpha, double beta);

} // namespace shimledger::planner
