// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/stock_to_request.h"
#include "app/services/strip_sheet.h"

#include "inventory/job_book.h"
#include "planner/mechanics/disc_group.h"
#include "planner/mechanics/lift_model.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace shimledger::services {

namespace {

using inventory::StackRow;

// What a workshop micrometer tells apart (common practice, no source).
constexpr Length told_apart = Length::fromMicrometres(3);

Length gap(Length a, Length b) {
    return a < b ? b - a : a - b;
}

std::string text(const StackRow& row) {
    return std::to_string(row.count) + " x " + row.od.text(1) + " x " + row.thickness.text(2);
}

bool alike(const StackRow& a, const StackRow& b) {
    return a.count == b.count && gap(a.od, b.od) <= Length::fromMicrometres(100) &&
           gap(a.thickness, b.thickness) <= told_apart;
}

std::vector<LegDifference> differences(const std::vector<StackRow>& first,
                                       const std::vector<StackRow>& second, int first_leg, int second_leg) {
    const std::string a = "leg " + std::to_string(first_leg) + " has ";
    const std::string b = "leg " + std::to_string(second_leg) + " has ";
    std::vector<LegDifference> found;
    for (std::size_t i = 0; i < std::max(first.size(), second.size()); ++i) {
        const std::string left = i < first.size() ? text(first[i]) : "nothing";
        const std::string right = i < second.size() ? text(second[i]) : "nothing";
        if (i < first.size() && i < second.size() && alike(first[i], second[i])) continue;
        found.push_back(
            {static_cast<int>(i) + 1, fmt::format("row {}: {}{}, {}{}", i + 1, a, left, b, right)});
    }
    return found;
}

std::optional<std::vector<double>> pressures(const planner::StackSpec& stack,
                                             const std::vector<double>& lifts_mm) {
    const planner::GroupedStack grouped = planner::groupStack(stack);
    const planner::LiftModel model(stack.valve(), grouped.shapes);
    planner::LiftWorkspace workspace = model.makeWorkspace();
    std::vector<double> found(lifts_mm.size());
    if (!model.pressuresAtLifts(grouped.sums, lifts_mm, planner::Regime::large, workspace, found).converged) {
        return std::nullopt;
    }
    return found;
}

void compareCurves(const inventory::Job& job, const std::vector<StackRow>& first,
                   const std::vector<StackRow>& second, double working_lift_mm, LegComparison& comparison) {
    const std::vector<double> lifts_mm = planner::comparisonLifts(working_lift_mm);
    try {
        const auto left = pressures(plannerStack(job, first), lifts_mm);
        const auto right = pressures(plannerStack(job, second), lifts_mm);
        if (!left || !right) {
            comparison.curve_sentence = "the curve of one leg cannot be computed over this lift";
            return;
        }
        comparison.curves = planner::compareCurves(lifts_mm, *left, *right);
    } catch (const InputError& error) {
        comparison.curve_sentence = std::string("no curve: ") + error.what();
        return;
    }
    const double percent = 100 * comparison.curves->signed_deviation;
    const std::string leg = "leg " + std::to_string(comparison.second_leg);
    constexpr double equal_percent = 0.05; // less is rounding of the printed figure
    if (std::abs(percent) < equal_percent) {
        comparison.curve_sentence = "both legs open alike";
        return;
    }
    comparison.curve_sentence =
        fmt::format("{} is up to {:.1f} % {} than leg {}, most at {:.2f} mm of lift", leg, std::abs(percent),
                    percent > 0 ? "stiffer" : "softer", comparison.first_leg, comparison.curves->at_lift_mm);
    constexpr double small_lift_mm = 0.005; // printed as 0.00: the same figure again
    if (comparison.curves->at_lift_mm >= small_lift_mm) {
        comparison.curve_sentence +=
            fmt::format("; at small lift {:+.1f} %", 100 * (comparison.curves->small_lift_ratio - 1));
    }
    comparison.curve_sentence +=
        fmt::format("; at full lift {:+.1f} %", 100 * (comparison.curves->full_lift_ratio - 1));
}

} // namespace

LegComparison compareLegs(inventory::ShopFile& shop, std::string_view code, int first_leg, int second_leg,
                          double working_lift_mm) {
    if (!(working_lift_mm > 0) || working_lift_mm > 5)
        throw InputError("the working lift must be above 0, up to 5 mm");
    if (first_leg == second_leg) throw InputError("a leg is compared with another one, not with itself");
    LegComparison comparison;
    comparison.first_leg = first_leg;
    comparison.second_leg = second_leg;
    inventory::Job job;
    std::vector<StackRow> first;
    std::vector<StackRow> second;
    shop.consistently([&] {
        const inventory::JobBook book(shop);
        job = book.get(code);
        const auto rowsOf = [&](int leg) {
            if (auto stack = book.stack(code, inventory::StackRole::asFound, leg)) return stack->rows;
            throw InputError("job '" + job.code + "' has no as-found stack of leg " + std::to_string(leg) +
                             ": record its strip first");
        };
        first = rowsOf(first_leg);
        second = rowsOf(second_leg);
    });
    comparison.rows = differences(first, second, first_leg, second_leg);
    compareCurves(job, first, second, working_lift_mm, comparison);
    return comparison;
}

} // namespace shimledger::services
