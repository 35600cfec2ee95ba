// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/damping_report.h"
#include "app/command/verb_support.h"
#include "app/command/verbs.h"

#include "app/services/cautions.h"
#include "app/services/force_csv.h"
#include "planner/mechanics/pressure_text.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <ostream>
#include <sstream>

namespace shimledger::command {

namespace {

constexpr double greatest_speed_m_s = 20;
constexpr std::size_t most_speeds = 1000;

std::vector<double> checkedSpeeds(const std::vector<double>& speeds_m_s) {
    if (speeds_m_s.empty()) return {0.02, 0.05, 0.1, 0.2, 0.4, 0.8, 1.5};
    double last = 0;
    for (const double speed : speeds_m_s) {
        if (!(speed > last && speed <= greatest_speed_m_s))
            throw InputError(
                "the speeds must lie above 0 and at most at 20 m/s and ascend, such as 0.05,0.1,0.5");
        last = speed;
    }
    if (speeds_m_s.size() > most_speeds) throw InputError("there are more than 1000 speeds");
    return speeds_m_s;
}

planner::FitUnknowns checkedUnknowns(const DampingVerb& verb) {
    if (verb.measured_file.empty()) {
        if (!verb.fit.empty()) throw InputError("--fit needs --measured: a CSV of speed_m_s,force_n");
        return {};
    }
    planner::FitUnknowns unknowns;
    unknowns.discharge = verb.fit.empty();
    for (const std::string& name : verb.fit) {
        if (name == "discharge") {
            unknowns.discharge = true;
        } else if (name == "bleed") {
            unknowns.bleed = true;
        } else {
            throw InputError("--fit must be discharge, bleed or both, not '" + name.substr(0, 40) + "'");
        }
    }
    return unknowns;
}

std::vector<planner::MeasuredForce> readMeasured(const std::string& path) {
    std::istringstream text(readFile(path));
    try {
        return services::readForceCsv(text);
    } catch (const InputError& error) {
        throw InputError(path + ": " + error.what());
    }
}

/// Puts what was measured into the report's flow.
void fitTo(const DampingVerb& verb, planner::FitUnknowns unknowns, DampingReport& report) {
    report.measured_name = verb.measured_file;
    report.measured = readMeasured(verb.measured_file);
    if (report.measured.empty()) throw InputError(verb.measured_file + ": there are no readings");
    const planner::StackOpening opening =
        planner::fitOpening(report.damped.stack, report.damped.flow, report.measured);
    if (!opening.curve) throw InputError("nothing can be fitted: " + opening.reason);
    report.fit = planner::fitDamping(report.damped.flow, *opening.curve, report.measured, unknowns);
    report.damped.flow = report.fit->flow;
    report.warnings.insert(report.warnings.end(), report.fit->doubts.begin(), report.fit->doubts.end());
}

/// Each begins with `name`, which tells two stacks apart.
void addStudyWarnings(const planner::DampingStudy& study, const std::optional<double>& backing_pressure_mpa,
                      const std::string& name, DampingReport& report) {
    for (const std::string& warning : study.warnings) report.warnings.push_back(name + warning);
    if (!study.opening.complete)
        report.warnings.push_back(
            name + "Not every speed or every end of a band was reached: " + study.opening.reason + ".");
    if (study.cavitation_speed_m_s)
        report.warnings.push_back(
            name + fmt::format(
                       "From {:.3f} m/s on the drop is more than the {} MPa that stand behind the valve: the "
                       "chamber there runs empty, and the figures end.",
                       *study.cavitation_speed_m_s, planner::pressureText(backing_pressure_mpa.value_or(0))));
}

} // namespace

int runDamping(const DampingVerb& verb, Streams& streams) {
    const std::vector<double> speeds = checkedSpeeds(verb.speeds_m_s);
    const planner::FitUnknowns unknowns = checkedUnknowns(verb);
    const planner::StackFile file = readStackFile(verb.stack_file);
    std::optional<planner::StackFile> other;
    if (!verb.against_file.empty()) other = readStackFile(verb.against_file);
    if (!file.flow && !(other && other->flow))
        throw InputError(verb.stack_file +
                         R"(: lacks "flow", which says what the oil meets beside the stack, such as )"
                         R"({"swept_area_mm2": 300, "port_area_mm2": 60, "oil": {...}})");
    DampingReport report{{file.stack, file.flow ? *file.flow : *other->flow}, {}, {}, {}, {}, {}, {}, {}};
    if (!verb.measured_file.empty()) fitTo(verb, unknowns, report);
    report.study = planner::studyDamping(report.damped, speeds);
    bool complete = report.study.points.size() == speeds.size();
    addStudyWarnings(report.study, report.damped.flow.backing_pressure_mpa, "", report);
    if (other) {
        const bool same_flow = !other->flow || !file.flow || *other->flow == *file.flow;
        const planner::DampedStack against{other->stack, same_flow ? report.damped.flow : *other->flow};
        if (!same_flow)
            report.warnings.emplace_back(
                "The two files have different flows: the ratio is of the valves too, not of "
                "the stacks alone.");
        const planner::DampingStudy of_other = planner::studyDamping(against, speeds);
        addStudyWarnings(of_other, against.flow.backing_pressure_mpa, verb.against_file + ": ", report);
        complete = complete && of_other.points.size() == speeds.size();
        report.against_name = verb.against_file;
        report.against = planner::compareDamping(report.damped, report.study, against, of_other);
    }
    const std::vector<std::string>& cautions = services::dampingCautions();
    report.warnings.insert(report.warnings.end(), cautions.begin(), cautions.end());
    if (verb.json) {
        writeDampingJson(report, streams.out);
    } else {
        tellDamping(report, streams.out);
    }
    return complete ? exit_done : exit_limit;
}

} // namespace shimledger::command
