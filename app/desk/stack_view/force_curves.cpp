// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/stack_view/force_curves.h"

#include "app/desk/path_text.h"
#include "app/services/cautions.h"
#include "app/services/click_advice.h"
#include "planner/units/input_error.h"

#include <QCoreApplication>
#include <QLocale>
#include <QStringList>

#include <algorithm>
#include <cmath>

namespace shimledger::desk {

namespace {

constexpr double drawn_speeds_m_s[] = {0.0025, 0.005, 0.01, 0.02, 0.03, 0.04, 0.05, 0.06, 0.07, 0.08, 0.09,
                                       0.1,    0.12,  0.14, 0.16, 0.18, 0.2,  0.25, 0.3,  0.35, 0.4,  0.45,
                                       0.5,    0.55,  0.6,  0.65, 0.7,  0.75, 0.8,  0.9,  1.0,  1.1,  1.2,
                                       1.3,    1.4,   1.5,  1.6,  1.7,  1.8,  1.9,  2.0};

QString words(const char* text) {
    return QCoreApplication::translate("ForceCurves", text);
}

QString number(double value, int decimals) {
    return QLocale::c().toString(value, 'f', decimals);
}

QString perCent(double ratio) {
    const double per_cent = 100 * (ratio - 1);
    return (per_cent >= 0 ? QStringLiteral("+") : QString()) + number(per_cent, 1) + QStringLiteral(" %");
}

QString newtons(double force_n, double sign) {
    return number(sign * force_n, std::abs(force_n) < 10 ? 1 : 0);
}

const planner::RatioPoint* ratioAt(const ForceCurves& curves, std::size_t point) {
    if (!curves.comparison || point >= curves.comparison->points.size()) return nullptr;
    return &curves.comparison->points[point];
}

/// From the coldest curve to the hottest, at the last speed that both reach: "-12.3 %".
QString heatText(const planner::DampingStudy& study, std::size_t point) {
    const auto& rows = study.forces_by_temperature;
    if (rows.empty() || point >= rows.front().size() || point >= rows.back().size()) return {};
    return perCent(rows.back()[point] / rows.front()[point]);
}

QString heatSentence(const ForceCurves& curves, const QString& substitute_name) {
    constexpr double told_speed_m_s = 0.1;
    const auto point = nearestSpeed(curves, told_speed_m_s);
    if (!point) return {};
    const QString speed = number(curves.target.points[*point].speed_m_s, 2);
    const QString target = heatText(curves.target, *point);
    if (target.isEmpty()) return {};
    const QString other = curves.substitute ? heatText(*curves.substitute, *point) : QString();
    if (other.isEmpty())
        return words("From 0 to 80 C the target's force at %1 m/s changes by %2.").arg(speed, target);
    return words("From 0 to 80 C the force at %1 m/s changes by %2 with the target, by %3 with %4.")
        .arg(speed, target, other, substitute_name.toLower());
}

void addStudyRemarks(const QString& who, const planner::DampingStudy& study, QStringList& remarks) {
    if (study.cavitation_speed_m_s) {
        remarks << words("%1: from %2 m/s on the chamber behind the valve runs empty.")
                       .arg(who, number(*study.cavitation_speed_m_s, 2));
    }
    for (const std::string& warning : study.warnings) remarks << words("%1: %2").arg(who, textOf(warning));
    if (!study.opening.complete) {
        remarks << words("%1: not every speed, or not every end of a band, was reached: %2.")
                       .arg(who, textOf(study.opening.reason));
    }
}

void fitReadings(const ValveInput& valve, const planner::StackSpec& stack, ForceCurves& curves) {
    planner::FitUnknowns unknowns;
    unknowns.discharge = true;
    try {
        const planner::StackOpening opening = planner::fitOpening(stack, valve.flow, curves.readings.forces);
        if (opening.curve) {
            curves.fit = planner::fitDamping(valve.flow, *opening.curve, curves.readings.forces, unknowns);
        } else {
            curves.fit_problem = textOf(opening.reason);
        }
    } catch (const InputError& problem) {
        curves.fit_problem = textOf(problem.what());
    }
}

void addFitRemarks(const ForceCurves& curves, QStringList& remarks) {
    if (curves.readings.forces.empty()) return;
    const QString readings = words("%1, %2 readings")
                                 .arg(curves.readings.name)
                                 .arg(static_cast<qulonglong>(curves.readings.forces.size()));
    if (!curves.fit || !curves.fit->curtain_discharge) {
        remarks << words("%1: nothing is fitted: %2.").arg(readings, curves.fit_problem);
        return;
    }
    const planner::FittedFigure& figure = *curves.fit->curtain_discharge;
    remarks << words("%1: fitted with the gap's discharge at %2 +- %3 the model misses them by %4 %.")
                   .arg(readings, number(figure.value, 3), number(figure.uncertainty, 3),
                        number(100 * curves.fit->mean_miss, 1));
    for (const std::string& doubt : curves.fit->doubts) remarks << textOf(doubt);
}

} // namespace

std::span<const double> drawnSpeeds() {
    return drawn_speeds_m_s;
}

ForceCurves computeForceCurves(const ValveInput& valve, const planner::StackSpec& target,
                               const std::optional<planner::StackSpec>& substitute,
                               const BenchReadings& readings) {
    ForceCurves curves;
    curves.rebound = valve.rebound;
    const planner::DampedStack wanted{target, valve.flow};
    curves.target = planner::studyDamping(wanted, drawnSpeeds());
    if (substitute) {
        const planner::DampedStack built{*substitute, valve.flow};
        curves.substitute = planner::studyDamping(built, drawnSpeeds());
        curves.comparison = planner::compareDamping(built, *curves.substitute, wanted, curves.target);
    }
    curves.readings = readings;
    if (!readings.forces.empty()) fitReadings(valve, substitute.value_or(target), curves);
    return curves;
}

std::optional<std::size_t> nearestSpeed(const ForceCurves& curves, double speed_m_s) {
    const auto& points = curves.target.points;
    if (points.empty()) return std::nullopt;
    const auto nearest = std::min_element(points.begin(), points.end(), [&](const auto& a, const auto& b) {
        return std::abs(a.speed_m_s - speed_m_s) < std::abs(b.speed_m_s - speed_m_s);
    });
    return static_cast<std::size_t>(nearest - points.begin());
}

double speedAtLift(const ForceCurves& curves, double lift_mm) {
    double speed_m_s = 0;
    for (const planner::DampingPoint& point : curves.target.points) {
        speed_m_s = point.speed_m_s;
        if (point.opening.lift_mm >= lift_mm) break;
    }
    return speed_m_s;
}

QString forceReading(const ForceCurves& curves, std::size_t point, const QString& substitute_name) {
    if (point >= curves.target.points.size()) return {};
    const planner::DampingPoint& target = curves.target.points[point];
    QString text = words("At %1 m/s: ").arg(number(target.speed_m_s, target.speed_m_s < 0.01 ? 4 : 2));
    if (const planner::RatioPoint* ratio = ratioAt(curves, point)) {
        text += words("%1 %2 in force (%3 to %4 by what cannot be measured)")
                    .arg(substitute_name.toLower(), perCent(ratio->force_ratio), perCent(ratio->band.least),
                         perCent(ratio->band.greatest));
        if (ratio->stack_ratio) text += words(", the stack alone %1").arg(perCent(*ratio->stack_ratio));
        text += QStringLiteral("; ");
    }
    const double sign = curves.signOfForce();
    text += words("by the model target %1 N").arg(newtons(target.force_n, sign));
    if (point < curves.target.force_band_n.size()) {
        const planner::FigureRange& band = curves.target.force_band_n[point];
        text += words(" (%1 to %2)").arg(newtons(band.least, sign), newtons(band.greatest, sign));
    }
    if (curves.substitute && point < curves.substitute->points.size())
        text += words(", %1 %2 N")
                    .arg(substitute_name.toLower(), newtons(curves.substitute->points[point].force_n, sign));
    text += words("; bleed %1 % of the flow, ports %2 % of the drop.")
                .arg(number(100 * target.bleed_share, 0), number(100 * target.port_share, 0));
    return text;
}

QStringList forceRemarks(const ForceCurves& curves, const ValveInput& valve, const QString& substitute_name) {
    QStringList remarks;
    if (curves.comparison && curves.comparison->clicks) {
        const planner::ClickMatch& match = *curves.comparison->clicks;
        remarks << words("%1: at %2 m/s %3.")
                       .arg(substitute_name, number(match.speed_m_s, 1), textOf(services::clickText(match)));
    }
    addFitRemarks(curves, remarks);
    if (!valve.assumed.isEmpty()) remarks << valve.assumed;
    if (!valve.fitted_to.isEmpty()) remarks << words("Fitted to %1.").arg(valve.fitted_to);
    addStudyRemarks(words("Target"), curves.target, remarks);
    if (curves.substitute) addStudyRemarks(substitute_name, *curves.substitute, remarks);
    const QString heat = heatSentence(curves, substitute_name);
    if (!heat.isEmpty()) remarks << heat;
    return remarks + forceCautions();
}

QStringList forceCautions() {
    QStringList cautions;
    for (const std::string& caution : services::dampingCautions()) cautions << textOf(caution);
    return cautions;
}

QString forceTable(const ForceCurves& curves, const QString& substitute_name) {
    QStringList heading{words("speed m/s"),      words("target N"),       words("target, least N"),
                        words("target, most N"), words("target lift mm"), words("%1 N").arg(substitute_name),
                        words("force ratio"),    words("least ratio"),    words("greatest ratio"),
                        words("stack alone")};
    for (const double temperature : planner::told_temperatures_c)
        heading << words("target at %1 C N").arg(number(temperature, 0));
    QStringList lines{heading.join(QLatin1Char('\t'))};
    const double sign = curves.signOfForce();
    for (std::size_t i = 0; i < curves.target.points.size(); ++i) {
        const planner::DampingPoint& point = curves.target.points[i];
        QStringList cells{number(point.speed_m_s, 4), number(sign * point.force_n, 2)};
        const bool banded = i < curves.target.force_band_n.size();
        cells << (banded ? number(sign * curves.target.force_band_n[i].least, 2) : QString())
              << (banded ? number(sign * curves.target.force_band_n[i].greatest, 2) : QString())
              << number(point.opening.lift_mm, 4);
        const bool built = curves.substitute && i < curves.substitute->points.size();
        cells << (built ? number(sign * curves.substitute->points[i].force_n, 2) : QString());
        const planner::RatioPoint* ratio = ratioAt(curves, i);
        if (ratio != nullptr) {
            cells << number(ratio->force_ratio, 4) << number(ratio->band.least, 4)
                  << number(ratio->band.greatest, 4);
        } else {
            cells << QString() << QString() << QString();
        }
        cells << (ratio != nullptr && ratio->stack_ratio ? number(*ratio->stack_ratio, 4) : QString());
        for (const std::vector<double>& forces : curves.target.forces_by_temperature)
            cells << (i < forces.size() ? number(sign * forces[i], 2) : QString());
        lines << cells.join(QLatin1Char('\t'));
    }
    return lines.join(QLatin1Char('\n')) + QLatin1Char('\n');
}

} // namespace shimledger::desk
