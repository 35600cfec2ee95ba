// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/damping_report.h"

#include "app/command/onset_json.h"
#include "app/services/click_advice.h"

#include "planner/mechanics/disc_friction.h"
#include "planner/mechanics/pressure_text.h"
#include "planner/stack/stack_text.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cmath>

namespace shimledger::command {

namespace {

using planner::DampingPoint;

double perCent(double ratio) {
    return 100 * (ratio - 1);
}

void tellClicks(const planner::ClickMatch& match, std::ostream& out) {
    out << fmt::format("At {:.3g} m/s {}.", match.speed_m_s, services::clickText(match));
    if (match.one_click_out != 1)
        out << fmt::format(" One click out is worth {:+.1f} %.", perCent(match.one_click_out));
    out << '\n';
}

void tellRatio(const DampingReport& report, std::ostream& out) {
    const planner::DampingComparison& against = *report.against;
    out << "Force against " << report.against_name
        << " in the same valve; the band is what discharges, oil and 0 to 80 C leave\n"
           "speed m/s     force        band               stack alone\n";
    for (const planner::RatioPoint& point : against.points) {
        out << fmt::format("{:9.3f}  {:+7.1f} %   {:+6.1f} to {:+6.1f} %   ", point.speed_m_s,
                           perCent(point.force_ratio), perCent(point.band.least),
                           perCent(point.band.greatest))
            << (point.stack_ratio ? fmt::format("{:+9.1f} %\n", perCent(*point.stack_ratio)) : "        -\n");
    }
    out << "stack alone: pressure at the other's lift, as the lift verb has it\n";
    if (against.clicks) tellClicks(*against.clicks, out);
    out << '\n';
}

void tellFit(const DampingReport& report, std::ostream& out) {
    const planner::DampingFit& fit = *report.fit;
    out << fmt::format("Fitted to {} ({} readings, oil at {:.0f} C):\n", report.measured_name,
                       report.measured.size(), report.damped.flow.temperature_c);
    if (fit.curtain_discharge)
        out << fmt::format("  curtain discharge {:.3f} +- {:.3f}\n", fit.curtain_discharge->value,
                           fit.curtain_discharge->uncertainty);
    if (fit.bleed_diameter_mm)
        out << fmt::format("  bleed diameter {:.3f} +- {:.3f} mm\n", fit.bleed_diameter_mm->value,
                           fit.bleed_diameter_mm->uncertainty);
    out << fmt::format(
               "  the model misses the readings by {:.1f} % (root mean square); +- is a 95 % interval\n",
               100 * fit.mean_miss)
        << "  speed m/s   measured N   model's miss\n";
    for (std::size_t i = 0; i < report.measured.size(); ++i) {
        out << fmt::format("  {:9.3f}   {:10.1f}   {:+10.1f} %\n", report.measured[i].speed_m_s,
                           report.measured[i].force_n, perCent(std::exp(fit.misses[i])));
    }
    out << '\n';
}

void tellNewtons(const DampingReport& report, std::ostream& out) {
    const planner::DampingStudy& study = report.study;
    out << fmt::format("Newtons of the model, oil at {:.0f} C; in brackets what published discharges and the "
                       "oil's grade leave\n",
                       report.damped.flow.temperature_c)
        << "speed m/s   force N  (from     to)   friction      drop MPa   lift mm   bleed   ports   "
           "stack 10 % stiffer\n";
    for (std::size_t i = 0; i < study.points.size(); ++i) {
        const DampingPoint& point = study.points[i];
        const std::string band = i < study.force_band_n.size()
                                     ? fmt::format("({:5.0f} {:6.0f})", study.force_band_n[i].least,
                                                   study.force_band_n[i].greatest)
                                     : std::string(14, ' ');
        const std::string loop =
            i < study.friction_band_n.size()
                ? fmt::format("{:+4.1f} {:+4.1f} %", perCent(study.friction_band_n[i].least / point.force_n),
                              perCent(study.friction_band_n[i].greatest / point.force_n))
                : std::string(11, ' ');
        out << fmt::format("{:9.3f} {:9.1f}  {}   {}   {:8.4f}  {:8.4f}  {:4.0f} %  {:4.0f} %   {:+8.1f} %\n",
                           point.speed_m_s, point.force_n, band, loop, point.drop_mpa, point.opening.lift_mm,
                           100 * point.bleed_share, 100 * point.port_share, 10 * point.stack_share);
    }
    out << fmt::format("friction: between the discs (coefficient {:.2f}), while the speed falls and while it "
                       "rises\n",
                       planner::usual_friction_coefficient)
        << "bleed: part of the flow beside the stack; ports: part of the drop that they take\n";
}

/// Where a stack matters little.
void tellShares(const planner::DampingStudy& study, std::ostream& out) {
    constexpr double half = 0.5;
    const DampingPoint* slow = nullptr;
    const DampingPoint* fast = nullptr;
    for (const DampingPoint& point : study.points) {
        if (point.bleed_share > half) slow = &point;
        if (fast == nullptr && point.port_share > half) fast = &point;
    }
    if (slow != nullptr)
        out << fmt::format(
            "Up to {:.3g} m/s the bleed carries most of the flow: there the stack matters little.\n",
            slow->speed_m_s);
    if (fast != nullptr)
        out << fmt::format(
            "From {:.3g} m/s the ports take most of the drop: there the stack matters little.\n",
            fast->speed_m_s);
}

void tellHeat(const DampingReport& report, std::ostream& out) {
    const planner::DampingStudy& study = report.study;
    out << "\nForce N at  ";
    for (const double temperature : planner::told_temperatures_c)
        out << fmt::format("{:7.0f} C", temperature);
    out << "      cold to hot";
    if (report.against) out << "      against the other, cold and hot";
    out << '\n';
    const auto& rows = study.forces_by_temperature;
    for (std::size_t i = 0; i < study.points.size(); ++i) {
        out << fmt::format("{:9.3f}   ", study.points[i].speed_m_s);
        for (const std::vector<double>& forces : rows)
            out << (i < forces.size() ? fmt::format("{:9.1f}", forces[i]) : std::string(9, ' '));
        if (i < rows.front().size() && i < rows.back().size())
            out << fmt::format("   {:+10.1f} %", perCent(rows.back()[i] / rows.front()[i]));
        if (report.against) {
            const auto& ratios = report.against->ratios_by_temperature;
            if (i < ratios.front().size() && i < ratios.back().size())
                out << fmt::format("   {:+10.1f} % {:+10.1f} %", perCent(ratios.front()[i]),
                                   perCent(ratios.back()[i]));
        }
        out << '\n';
    }
}

nlohmann::json pointsJson(const planner::DampingStudy& study) {
    nlohmann::json points = nlohmann::json::array();
    for (std::size_t i = 0; i < study.points.size(); ++i) {
        const DampingPoint& point = study.points[i];
        points.push_back({{"speed_m_s", point.speed_m_s},
                          {"force_n", point.force_n},
                          {"drop_mpa", point.drop_mpa},
                          {"lift_mm", point.opening.lift_mm},
                          {"gap_mm", point.opening.gap_mm},
                          {"pressure_beneath_mpa", point.pressure_beneath_mpa},
                          {"bleed_share", point.bleed_share},
                          {"port_share", point.port_share},
                          {"stack_share", point.stack_share}});
        if (i < study.friction_band_n.size()) {
            points.back()["falling_force_n"] = study.friction_band_n[i].least;
            points.back()["rising_force_n"] = study.friction_band_n[i].greatest;
        }
        if (i >= study.force_band_n.size()) continue;
        points.back()["least_force_n"] = study.force_band_n[i].least;
        points.back()["greatest_force_n"] = study.force_band_n[i].greatest;
    }
    return points;
}

nlohmann::json temperaturesJson(const std::vector<std::vector<double>>& rows, const char* name) {
    nlohmann::json list = nlohmann::json::array();
    for (std::size_t t = 0; t < rows.size(); ++t)
        list.push_back({{"temperature_c", planner::told_temperatures_c.at(t)}, {name, rows[t]}});
    return list;
}

nlohmann::json againstJson(const planner::DampingComparison& against) {
    nlohmann::json root = {{"points", nlohmann::json::array()},
                           {"temperatures", temperaturesJson(against.ratios_by_temperature, "force_ratios")},
                           {"clicks", nullptr}};
    for (const planner::RatioPoint& point : against.points) {
        root["points"].push_back({{"speed_m_s", point.speed_m_s},
                                  {"force_ratio", point.force_ratio},
                                  {"least_ratio", point.band.least},
                                  {"greatest_ratio", point.band.greatest},
                                  {"stack_ratio", nullptr}});
        if (point.stack_ratio) root["points"].back()["stack_ratio"] = *point.stack_ratio;
    }
    if (against.clicks) {
        root["clicks"] = {{"speed_m_s", against.clicks->speed_m_s},
                          {"other_click", against.clicks->other_click},
                          {"click", against.clicks->click},
                          {"force_ratio_at_same_click", against.clicks->ratio_at_same_click},
                          {"force_ratio", against.clicks->ratio},
                          {"one_click_out", against.clicks->one_click_out},
                          {"at_end", against.clicks->at_end}};
    }
    return root;
}

nlohmann::json figureJson(const std::optional<planner::FittedFigure>& figure) {
    if (!figure) return nullptr;
    return {{"value", figure->value}, {"uncertainty", figure->uncertainty}, {"at_limit", figure->at_limit}};
}

nlohmann::json fitJson(const DampingReport& report) {
    const planner::DampingFit& fit = *report.fit;
    nlohmann::json root = {{"curtain_discharge", figureJson(fit.curtain_discharge)},
                           {"bleed_diameter_mm", figureJson(fit.bleed_diameter_mm)},
                           {"mean_miss", fit.mean_miss},
                           {"correlation", fit.correlation},
                           {"doubts", fit.doubts},
                           {"readings", nlohmann::json::array()}};
    for (std::size_t i = 0; i < report.measured.size(); ++i) {
        root["readings"].push_back({{"speed_m_s", report.measured[i].speed_m_s},
                                    {"force_n", report.measured[i].force_n},
                                    {"model_ratio", std::exp(fit.misses[i])}});
    }
    return root;
}

} // namespace

void tellDamping(const DampingReport& report, std::ostream& out) {
    const planner::DampingStudy& study = report.study;
    if (!report.name.empty()) out << report.name << ":\n";
    out << planner::stackText(report.damped.stack.rows()) << "\n\n";
    if (report.against) tellRatio(report, out);
    if (report.fit) tellFit(report, out);
    for (const std::string& sentence : report.kept) out << sentence << '\n';
    if (!report.fitted_to.empty())
        out << "The model's figures were fitted to " << report.fitted_to << ".\n\n";
    tellNewtons(report, out);
    tellShares(study, out);
    if (!study.forces_by_temperature.empty()) tellHeat(report, out);
    if (study.opening.onset)
        out << fmt::format(
            "\nThe discs leave their round shape at {:.3f} mm of lift ({} MPa beneath them).\n",
            study.opening.onset->lift_mm, planner::pressureText(study.opening.onset->pressure_mpa));
    for (const std::string& warning : report.warnings) out << "\nCaution: " << warning << '\n';
}

void writeDampingJson(const DampingReport& report, std::ostream& out) {
    const planner::DampingStudy& study = report.study;
    nlohmann::json root = {{"points", pointsJson(study)},
                           {"temperatures", temperaturesJson(study.forces_by_temperature, "forces_n")},
                           {"onset", onsetJson(study.opening.onset)},
                           {"warnings", report.warnings}};
    if (report.damped.flow.backing_pressure_mpa) {
        root["cavitation_speed_m_s"] = nullptr;
        if (study.cavitation_speed_m_s) root["cavitation_speed_m_s"] = *study.cavitation_speed_m_s;
    }
    if (!report.name.empty()) {
        root["stack"] = report.name;
        root["assumed"] = nlohmann::json::array();
        for (const services::AssumedFigure& figure : report.assumed)
            root["assumed"].push_back({{"field", figure.field}, {"taken", figure.text}});
        root["fitted_to"] = report.fitted_to;
    }
    if (report.against) root["against"] = againstJson(*report.against);
    if (report.fit) root["fit"] = fitJson(report);
    if (!report.kept.empty()) root["kept"] = report.kept;
    out << root.dump(2) << '\n';
}

} // namespace shimledger::command
