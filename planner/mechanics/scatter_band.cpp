// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/mechanics/scatter_band.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>

namespace shimledger::planner {

namespace {

constexpr double band_in_deviations = 3;          // a tolerance band is +-3 standard deviations
constexpr double micrometer_deviation_mm = 0.001; // of the mean of a measured lot
constexpr double difference_step = 0.01;          // of the thickness, for the central differences

struct ToleranceStep {
    double from_mm;
    std::array<double, 3> half_width_mm; // normal, fine, precision
};

// EN ISO 9445-1 (was EN 10258), strip narrower than 125 mm; BSSA web article on ISO 9445.
constexpr std::array<ToleranceStep, 5> tolerance_steps = {{
    {0.10, {0.010, 0.008, 0.006}},
    {0.15, {0.015, 0.010, 0.008}},
    {0.20, {0.015, 0.012, 0.008}},
    {0.25, {0.017, 0.012, 0.009}},
    {0.30, {0.020, 0.015, 0.010}},
}};

/// The sums of every group when each row has the given mean thickness.
std::vector<GroupSums> sumsWith(const StackSpec& stack, const GroupedStack& grouped,
                                std::span<const double> means_mm) {
    std::vector<GroupSums> sums(grouped.sums.size());
    for (std::size_t row = 0; row < stack.rows().size(); ++row) {
        const DiscRow& discs = stack.rows()[row];
        const GroupSums own = sumsOf(discs.count, means_mm[row], discs.material.elastic_modulus_mpa);
        GroupSums& group = sums[static_cast<std::size_t>(grouped.group_of_row[row])];
        group.thickness_mm += own.thickness_mm;
        group.bending_n_mm += own.bending_n_mm;
        group.membrane_n_per_mm += own.membrane_n_per_mm;
    }
    return sums;
}

} // namespace

std::string toleranceClassName(ToleranceClass tolerance) {
    switch (tolerance) {
    case ToleranceClass::normal:
        return "normal";
    case ToleranceClass::fine:
        return "fine";
    case ToleranceClass::precision:
        return "precision";
    }
    throw std::logic_error("unknown tolerance class");
}

std::optional<ToleranceClass> parseToleranceClass(std::string_view text) {
    for (const auto tolerance : {ToleranceClass::normal, ToleranceClass::fine, ToleranceClass::precision}) {
        if (text == toleranceClassName(tolerance)) return tolerance;
    }
    return {};
}

double toleranceHalfWidth(ToleranceClass tolerance, double thickness_mm) {
    const auto column = static_cast<std::size_t>(tolerance);
    const ToleranceStep* step = &tolerance_steps.front();
    for (const ToleranceStep& candidate : tolerance_steps) {
        if (thickness_mm >= candidate.from_mm - 1e-9) step = &candidate;
    }
    const double below = std::min(1.0, thickness_mm / tolerance_steps.front().from_mm);
    return step->half_width_mm[column] * below;
}

double ScatterBand::widest() const {
    double widest = 0;
    for (std::size_t i = 0; i < pressures_mpa.size(); ++i) {
        widest = std::max(widest, (high_mpa[i] - low_mpa[i]) / 2 / pressures_mpa[i]);
    }
    return widest;
}

std::optional<ScatterBand> scatterBand(const StackSpec& stack, std::span<const RowThickness> thicknesses,
                                       std::span<const double> lifts_mm, ToleranceClass tolerance,
                                       Regime regime) {
    const std::size_t rows = stack.rows().size();
    if (!thicknesses.empty() && thicknesses.size() != rows)
        throw std::logic_error("one thickness for each row");
    const GroupedStack grouped = groupStack(stack);
    const LiftModel model(stack.valve(), grouped.shapes);
    LiftWorkspace workspace = model.makeWorkspace();
    std::vector<double> means;
    for (std::size_t row = 0; row < rows; ++row) {
        const double nominal = stack.rows()[row].thickness.millimetres();
        means.push_back(thicknesses.empty() ? nominal : thicknesses[row].measured_mm.value_or(nominal));
    }
    ScatterBand band;
    band.lifts_mm.assign(lifts_mm.begin(), lifts_mm.end());
    band.pressures_mpa.resize(lifts_mm.size());
    const auto solve = [&](std::vector<double>& pressures) {
        return model.pressuresAtLifts(sumsWith(stack, grouped, means), lifts_mm, regime, workspace, pressures)
            .converged;
    };
    if (!solve(band.pressures_mpa)) return {};
    std::vector<double> disc_variance(lifts_mm.size(), 0.0);
    std::vector<double> lot_variance(lifts_mm.size(), 0.0);
    std::vector<double> thinner(lifts_mm.size());
    std::vector<double> thicker(lifts_mm.size());
    for (std::size_t row = 0; row < rows; ++row) {
        const DiscRow& discs = stack.rows()[row];
        const double mean = means[row];
        const double step = difference_step * mean;
        means[row] = mean - step;
        const bool low = solve(thinner);
        means[row] = mean + step;
        const bool high = solve(thicker);
        means[row] = mean;
        if (!low || !high) return {};
        const double deviation =
            toleranceHalfWidth(tolerance, discs.thickness.millimetres()) / band_in_deviations;
        const bool measured = !thicknesses.empty() && thicknesses[row].measured_mm.has_value();
        const double lot = measured ? micrometer_deviation_mm : deviation / std::sqrt(2.0);
        const double spread = thicknesses.empty() ? 0.0 : thicknesses[row].reading_spread_mm;
        const double disc = spread > 0 ? spread : deviation / std::sqrt(2.0);
        for (std::size_t i = 0; i < lifts_mm.size(); ++i) {
            // All discs of the row together; one of them alone moves the curve by a count-th of it.
            const double sensitivity = (thicker[i] - thinner[i]) / (2 * step) / band.pressures_mpa[i];
            lot_variance[i] += sensitivity * sensitivity * lot * lot;
            disc_variance[i] += sensitivity * sensitivity * disc * disc / discs.count;
        }
    }
    for (std::size_t i = 0; i < lifts_mm.size(); ++i) {
        band.disc_to_disc.push_back(std::sqrt(disc_variance[i]));
        band.lot_to_lot.push_back(std::sqrt(lot_variance[i]));
        const double half = 2 * std::sqrt(disc_variance[i] + lot_variance[i]);
        band.low_mpa.push_back(band.pressures_mpa[i] * std::max(0.0, 1 - half));
        band.high_mpa.push_back(band.pressures_mpa[i] * (1 + half));
    }
    return band;
}

} // namespace shimledger::planner
