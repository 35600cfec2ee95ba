// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/damping_report.h"
#include "app/command/known_names.h"
#include "app/command/verb_support.h"
#include "app/command/verbs.h"

#include "app/services/cautions.h"
#include "app/services/force_csv.h"
#include "app/services/history_text.h"
#include "app/services/job_damping.h"
#include "app/services/keep_fit.h"
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

/// What is looked at: a file's stack or a job's, and what it is held against.
struct Asked {
    planner::DampedStack damped;
    std::string name; ///< of a job's stack
    std::optional<planner::DampedStack> other;
    std::string other_name;
    std::vector<services::AssumedFigure> assumed;
    std::string fitted_to;
    std::vector<std::string> warnings; ///< before the stacks' own
};

Asked ofFiles(const DampingVerb& verb) {
    const planner::StackFile file = readStackFile(verb.stack_file);
    std::optional<planner::StackFile> other;
    if (!verb.against_file.empty()) other = readStackFile(verb.against_file);
    if (!file.flow && !(other && other->flow))
        throw InputError(verb.stack_file +
                         R"(: lacks "flow", which says what the oil meets beside the stack, such as )"
                         R"({"swept_area_mm2": 300, "port_area_mm2": 60, "oil": {...}})");
    Asked asked{{file.stack, file.flow ? *file.flow : *other->flow}, {}, {}, {}, {}, {}, {}};
    if (!other) return asked;
    asked.other = planner::DampedStack{other->stack, other->flow ? *other->flow : *file.flow};
    asked.other_name = verb.against_file;
    if (asked.other->flow != asked.damped.flow)
        asked.warnings.emplace_back(
            "The two files have different flows: the ratio is of the valves too, not of the "
            "stacks alone.");
    return asked;
}

Asked ofJob(const DampingVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    services::JobDamping job = verb.proposal > 0
                                   ? services::proposalDamping(shop, services::planJob(shop, verb.job),
                                                               static_cast<std::size_t>(verb.proposal - 1))
                                   : services::jobDamping(shop, verb.job);
    Asked asked{job.shown(), "the target", {}, {}, job.assumed, job.fitted_to, {}};
    if (job.substitute) {
        asked.name = job.substitute_name;
        asked.other = job.target;
        asked.other_name = "the target";
    }
    if (!job.assumed.empty()) asked.warnings.push_back(services::assumedSentence(job.assumed));
    return asked;
}

Asked asked(const DampingVerb& verb, Streams& streams) {
    const bool from_shop = !verb.shop_file.empty() || !verb.job.empty() || verb.proposal > 0;
    if (from_shop == !verb.stack_file.empty()) throw InputError("give either STACK.json or --db with --job");
    if (!from_shop) return ofFiles(verb);
    if (verb.shop_file.empty() || verb.job.empty())
        throw InputError("--db and --job belong together: give both");
    if (!verb.against_file.empty())
        throw InputError("--against goes with STACK.json: a job is held against its own target");
    return ofJob(verb, streams);
}

void keep(const DampingVerb& verb, DampingReport& report, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    for (const inventory::MasterChange& change :
         services::keepFit(shop, verb.job, *report.fit, verb.measured_file, report.name))
        report.kept.push_back(services::changeSentence(change));
}

} // namespace

int runDamping(const DampingVerb& verb, Streams& streams) {
    const std::vector<double> speeds = checkedSpeeds(verb.speeds_m_s);
    const planner::FitUnknowns unknowns = checkedUnknowns(verb);
    if (verb.keep_fit && (verb.job.empty() || verb.measured_file.empty()))
        throw InputError(
            "--keep-fit keeps a fit with the component model of a job: give --job and --measured");
    const Asked stacks = asked(verb, streams);
    DampingReport report{
        stacks.damped, {}, stacks.name, {}, stacks.assumed, stacks.fitted_to, {}, {}, {}, {}, {}, {}};
    if (!verb.measured_file.empty()) fitTo(verb, unknowns, report);
    if (verb.keep_fit) keep(verb, report, streams);
    report.warnings.insert(report.warnings.end(), stacks.warnings.begin(), stacks.warnings.end());
    report.study = planner::studyDamping(report.damped, speeds);
    bool complete = report.study.points.size() == speeds.size();
    addStudyWarnings(report.study, report.damped.flow.backing_pressure_mpa, "", report);
    if (stacks.other) {
        // Where both stand in one valve, what was fitted is of that valve.
        const bool same_flow = stacks.other->flow == stacks.damped.flow;
        const planner::DampedStack against{stacks.other->stack,
                                           same_flow ? report.damped.flow : stacks.other->flow};
        const planner::DampingStudy of_other = planner::studyDamping(against, speeds);
        addStudyWarnings(of_other, against.flow.backing_pressure_mpa, stacks.other_name + ": ", report);
        complete = complete && of_other.points.size() == speeds.size();
        report.against_name = stacks.other_name;
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
