// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/known_names.h"
#include "app/command/stock_csv.h"
#include "app/command/verb_support.h"
#include "app/command/verbs.h"

#include "app/services/job_steps.h"
#include "app/services/proposal_text.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <ostream>
#include <string>

namespace shimledger::command {

namespace {

constexpr double usual_lift_mm = 0.30;

using planner::SingleStep;
using planner::StepTable;

std::string drawersText(const StepTable& table, const SingleStep& step) {
    if (!table.drawers_known) return {};
    if (step.needed == 0) return "nothing needed";
    if (step.available >= step.needed) return fmt::format("yes ({})", step.needed);
    return fmt::format("no: {} of {}", step.available, step.needed);
}

void tell(const StepTable& table, std::ostream& out) {
    std::size_t widest = 0;
    for (const SingleStep& step : table.steps) widest = std::max(widest, step.words.size());
    out << "What each single step does to the pressure at a lift (+ is stiffer; discs taken as round):\n";
    out << fmt::format("row  {:<{}}", "", widest);
    for (const double lift : table.lifts_mm) out << fmt::format(" {:>10}", fmt::format("{:.3f} mm", lift));
    out << (table.drawers_known ? "   in the drawers\n" : "\n");
    for (const SingleStep& step : table.steps) {
        const std::string row = step.row > 0 ? std::to_string(step.row) : "-";
        out << fmt::format("{:>3}  {:<{}}", row, step.words, widest);
        for (const double change : step.changes) out << fmt::format(" {:>10}", services::percentText(change));
        if (!step.solved) out << "  its curve cannot be computed";
        if (table.drawers_known) out << "   " << drawersText(table, step);
        out << '\n';
    }
}

nlohmann::json stackRows(const planner::StackSpec& stack) {
    nlohmann::json rows = nlohmann::json::array();
    for (const planner::DiscRow& row : stack.rows()) {
        rows.push_back({{"count", row.count},
                        {"od_mm", row.od.millimetres()},
                        {"thickness_mm", row.thickness.millimetres()}});
        if (row.ring_id) rows.back()["ring_id_mm"] = row.ring_id->millimetres();
    }
    return rows;
}

std::string stepsJson(const StepTable& table) {
    nlohmann::json root = {{"lifts_mm", table.lifts_mm},
                           {"base_pressures_mpa", table.base_pressures_mpa},
                           {"steps", nlohmann::json::array()}};
    for (const SingleStep& step : table.steps) {
        nlohmann::json one = {{"step", planner::singleStepName(step.kind)},
                              {"row", step.row},
                              {"words", step.words},
                              {"clamp_od_mm", step.stack.valve().clamp_od.millimetres()},
                              {"discs", stackRows(step.stack)},
                              {"changes", nullptr},
                              {"needed", step.needed},
                              {"available", nullptr},
                              {"in_drawers", nullptr}};
        if (step.solved) one["changes"] = step.changes;
        if (table.drawers_known) {
            one["available"] = step.available;
            one["in_drawers"] = step.available >= step.needed;
        }
        root["steps"].push_back(std::move(one));
    }
    return root.dump(2) + "\n";
}

StepTable tableOf(const StepsVerb& verb, Streams& streams) {
    const planner::Regime regime = parseRegime(verb.model);
    if (!verb.shop_file.empty() || !verb.job.empty()) {
        if (!verb.stack_file.empty() || !verb.stock_file.empty())
            throw InputError("give either STACK.json, with or without --stock, or --db with --job");
        if (verb.shop_file.empty() || verb.job.empty())
            throw InputError("--db and --job belong together: give both");
        if (verb.legs) throw InputError("--legs goes with STACK.json: a job has its own number of legs");
        auto shop = openShop(verb.shop_file, streams);
        mustBeJob(shop, verb.job);
        return services::jobSteps(shop, verb.job, verb.working_lift_mm, regime);
    }
    if (verb.stack_file.empty()) throw InputError("give STACK.json, or --db with --job");
    planner::StepQuestion question{readStack(verb.stack_file),
                                   verb.legs.value_or(2),
                                   {},
                                   verb.working_lift_mm.value_or(usual_lift_mm),
                                   regime};
    if (question.legs < 1 || question.legs > 8) {
        throw InputError(
            fmt::format("--legs is {}: the number of legs must lie between 1 and 8", question.legs));
    }
    if (!verb.stock_file.empty()) question.stock = readStockCsv(verb.stock_file);
    return planner::singleSteps(question);
}

} // namespace

int runSteps(const StepsVerb& verb, Streams& streams) {
    constexpr double most_lift_mm = 5;
    const double asked_mm = verb.working_lift_mm.value_or(most_lift_mm);
    if (!(asked_mm >= 0.001 && asked_mm <= most_lift_mm))
        throw InputError(fmt::format("--working-lift must be a number from 0.001 to 5, not {}", asked_mm));
    const StepTable table = tableOf(verb, streams);
    if (verb.json)
        streams.out << stepsJson(table);
    else
        tell(table, streams.out);
    return exit_done;
}

} // namespace shimledger::command
