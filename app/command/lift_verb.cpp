// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/onset_json.h"
#include "app/command/verb_support.h"
#include "app/command/verbs.h"

#include "planner/mechanics/pressure_text.h"
#include "planner/mechanics/stack_lift.h"
#include "planner/mechanics/warp_branch.h"
#include "planner/stack/stack_text.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <ostream>

namespace shimledger::command {

namespace {

using planner::StackReport;
using planner::StackSpec;

constexpr double greatest_friction = 0.5; // what the discs rub with is told to first order

void checkPressures(const std::vector<double>& pressures_mpa) {
    // No disc bears a fraction of it (1170 MPa tears its steel, planner/stack/material.h), and far beyond it
    // the arithmetic of doubles breaks down.
    constexpr double most_mpa = 1'000'000;
    double last = -1; // 0 may come first, and no pressure twice
    for (const double pressure : pressures_mpa) {
        if (!std::isfinite(pressure) || pressure < 0 || pressure <= last || pressure > most_mpa) {
            throw InputError(
                fmt::format("--pressures has {:g}: give MPa from 0 to {:g}, ascending and parted by "
                            "commas, such as 0.1,0.2,0.5",
                            pressure, most_mpa));
        }
        last = pressure;
    }
}

/// Without a minus sign on what rounds to nothing in four decimals.
double shown(double lift_mm) {
    return std::abs(lift_mm) < 0.5e-4 ? 0.0 : lift_mm;
}

/// A sentence where the face's edge sinks before it rises, else "".
template <typename Points, typename Lift>
std::string sinkingText(const Points& points, Lift lift_mm) {
    double lowest_mm = 0;
    for (const auto& point : points) lowest_mm = std::min(lowest_mm, lift_mm(point));
    if (lowest_mm > -0.5e-6) return {};
    return fmt::format("Before the face leaves what holds it up, its edge sinks, here by up to {:.4f} mm: "
                       "lifts are below 0 there.",
                       -lowest_mm);
}

std::string onsetText(const StackSpec& stack, const std::optional<planner::WarpOnset>& onset) {
    if (!onset) return "The discs stay round over this range.";
    return fmt::format(
        "The discs leave their round shape at {:.3f} mm of lift ({} MPa): {} lobes, led by {}.",
        onset->lift_mm, planner::pressureText(onset->pressure_mpa), onset->lobes,
        namedRow(stack, onset->row));
}

int warpLift(const LiftVerb& verb, const StackSpec& stack, Streams& streams) {
    constexpr int points = 20;
    const planner::WarpCurve curve = verb.pressures_mpa.empty()
                                         ? planner::warpedCurveOverLift(stack, verb.working_lift_mm, points)
                                         : planner::warpedLifts(stack, verb.pressures_mpa);
    std::vector<std::string> warnings;
    if (!curve.caution.empty()) warnings.push_back(curve.caution);
    const std::string sinking =
        sinkingText(curve.points, [](const planner::WarpPoint& point) { return point.mean_lift_mm; });
    if (!sinking.empty()) warnings.push_back(sinking);
    if (!curve.converged) warnings.push_back("The curve ends early: " + curve.reason + ".");
    if (verb.json) {
        nlohmann::json root = {{"model", "warp"},
                               {"points", nlohmann::json::array()},
                               {"onset", onsetJson(curve.onset)},
                               {"warnings", warnings}};
        for (const planner::WarpPoint& point : curve.points) {
            root["points"].push_back({{"pressure_mpa", point.pressure_mpa},
                                      {"lift_mm", point.mean_lift_mm},
                                      {"min_lift_mm", point.min_lift_mm},
                                      {"max_lift_mm", point.max_lift_mm}});
        }
        streams.out << root.dump(2) << '\n';
    } else {
        streams.out << "pressure MPa   mean lift mm    least   greatest\n";
        for (const planner::WarpPoint& point : curve.points) {
            streams.out << fmt::format("{:12.4f}   {:12.4f} {:8.4f}   {:8.4f}\n", point.pressure_mpa,
                                       shown(point.mean_lift_mm), shown(point.min_lift_mm),
                                       shown(point.max_lift_mm));
        }
        streams.out << onsetText(stack, curve.onset) << '\n';
        for (const std::string& warning : warnings) streams.out << "Caution: " << warning << '\n';
    }
    return curve.converged ? exit_done : exit_limit;
}

void tellReport(const StackSpec& stack, const StackReport& report,
                const std::optional<planner::ScatterBand>& band, double friction, std::ostream& out) {
    const bool rubs = friction > 0;
    out << planner::stackText(stack.rows()) << "\n\npressure MPa     lift mm"
        << (rubs ? "   friction +- mm\n" : "\n");
    for (const planner::LiftPoint& point : report.curve.points()) {
        out << fmt::format("{:12.4f}   {:9.4f}", point.pressure_mpa, shown(point.lift_mm));
        if (rubs) out << fmt::format("   {:14.4f}", point.friction_half_width_mm);
        out << '\n';
    }
    if (rubs) {
        out << fmt::format("\nFriction between the discs (coefficient {:.2f}) holds the lift that much lower "
                           "while the pressure rises, and higher while it falls.\n",
                           friction);
    }
    if (report.opening_pressure_mpa)
        out << fmt::format("\nLeaves its seat at {:.4f} MPa.\n", *report.opening_pressure_mpa);
    for (const planner::GapClosing& closing : report.closings) {
        out << fmt::format("\nGap closes at {:.3f} mm of lift ({:.3f} MPa): {} meets {} at radius {:.1f} mm.",
                           closing.lift_mm, closing.pressure_mpa, namedRow(stack, closing.lower_row),
                           namedRow(stack, closing.upper_row), closing.radius_mm);
    }
    if (!report.closings.empty()) out << '\n';
    if (!report.stresses.empty()) out << "\nAt the last point   load share   bending MPa\n";
    for (std::size_t row = 0; row < report.stresses.size(); ++row) {
        out << fmt::format("{:<20}{:9.1f} %   {:11.0f}\n", planner::rowText(stack.rows()[row]),
                           100 * report.load_share[row], report.stresses[row].bending_mpa);
    }
    if (band) {
        out << fmt::format(
            "\nThickness tolerance moves this curve by up to +-{:.0f} % (two standard deviations).\n",
            100 * band->widest());
    }
}

} // namespace

int runLift(const LiftVerb& verb, Streams& streams) {
    const StackSpec stack = readStack(verb.stack_file);
    checkPressures(verb.pressures_mpa);
    if (!(verb.working_lift_mm > 0 && verb.working_lift_mm <= 5))
        throw InputError("the working lift must lie above 0 and at most at 5 mm");
    if (!(verb.friction >= 0 && verb.friction <= greatest_friction))
        throw InputError("the coefficient of friction must lie between 0 (none) and 0.5, such as 0.12");
    const planner::ToleranceClass tolerance = parseTolerance(verb.tolerance);
    if (verb.model == "warp" && verb.friction_given && verb.friction > 0)
        throw InputError(
            "friction is told of round discs: leave --friction out, or take --model large or small");
    if (verb.model == "warp") return warpLift(verb, stack, streams);
    if (verb.model != "large" && verb.model != "small")
        throw InputError("the model must be large, small or warp, not '" + verb.model.substr(0, 40) + "'");
    const planner::Regime regime = parseRegime(verb.model);
    planner::StackLift lift(stack);
    constexpr int points = 10;
    StackReport report = verb.pressures_mpa.empty()
                             ? lift.overLift(verb.working_lift_mm, regime, points, verb.friction)
                             : lift.atPressures(verb.pressures_mpa, regime, verb.friction);
    std::optional<planner::ScatterBand> band;
    const double reached = report.curve.greatestLift();
    if (report.converged && reached > 0) {
        band = planner::scatterBand(stack, {}, planner::comparisonLifts(reached), tolerance, regime);
        if (regime == planner::Regime::large) {
            const planner::WarpOnsetResult warp = planner::findWarpOnset(stack, reached);
            if (warp.onset)
                report.warnings.push_back(onsetText(stack, warp.onset) +
                                          " See --model warp for the curve beyond.");
            if (warp.converged) report.warp_warning.clear(); // the onset is known, or that there is none
            if (!warp.caution.empty()) report.warnings.push_back(warp.caution);
        }
    }
    if (!report.warp_warning.empty()) report.warnings.push_back(report.warp_warning);
    const std::string sinking =
        sinkingText(report.curve.points(), [](const planner::LiftPoint& point) { return point.lift_mm; });
    if (!sinking.empty()) report.warnings.push_back(sinking);
    if (!report.converged) report.warnings.push_back("The curve ends early: " + report.reason + ".");
    if (verb.json) {
        nlohmann::json root = {{"model", verb.model},
                               {"friction", verb.friction},
                               {"points", nlohmann::json::array()},
                               {"closings", nlohmann::json::array()},
                               {"warnings", report.warnings}};
        for (const planner::LiftPoint& point : report.curve.points()) {
            root["points"].push_back({{"pressure_mpa", point.pressure_mpa},
                                      {"lift_mm", point.lift_mm},
                                      {"friction_half_width", point.friction_half_width_mm},
                                      {"friction_pressure_mpa", point.friction_pressure_mpa}});
        }
        for (const planner::GapClosing& closing : report.closings) {
            root["closings"].push_back({{"lower_row", closing.lower_row + 1},
                                        {"upper_row", closing.upper_row + 1},
                                        {"radius_mm", closing.radius_mm},
                                        {"lift_mm", closing.lift_mm},
                                        {"pressure_mpa", closing.pressure_mpa}});
        }
        if (report.opening_pressure_mpa) root["opening_pressure_mpa"] = *report.opening_pressure_mpa;
        streams.out << root.dump(2) << '\n';
    } else {
        tellReport(stack, report, band, verb.friction, streams.out);
        for (const std::string& warning : report.warnings) streams.out << "\nCaution: " << warning << '\n';
    }
    return report.converged ? exit_done : exit_limit;
}

} // namespace shimledger::command
