// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/job_verbs.h"
#include "app/command/known_names.h"
#include "app/command/verb_support.h"

#include "app/services/job_intake.h"
#include "app/services/job_target.h"
#include "planner/units/input_error.h"

#include <nlohmann/json.hpp>

#include <ostream>

namespace shimledger::command {

namespace {

services::SavedTarget save(inventory::ShopFile& shop, const JobTargetVerb& verb) {
    if (verb.stack_file.empty()) {
        return services::saveTarget(shop, verb.job, services::bookRows(verb.rows));
    }
    const planner::StackSpec stack = readStack(verb.stack_file);
    try {
        return services::saveTarget(shop, verb.job, stack, verb.valve_too);
    } catch (const InputError& error) {
        throw InputError(verb.stack_file + ": " + error.what());
    }
}

} // namespace

int runJobTarget(const JobTargetVerb& verb, Streams& streams) {
    if (verb.stack_file.empty() == verb.rows.empty())
        throw InputError("give either a STACK.json or --rows for the target");
    if (verb.stack_file.empty() && verb.valve_too)
        throw InputError("--valve-too is of a STACK.json: rows say nothing of a valve");
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    const services::SavedTarget saved = save(shop, verb);
    if (verb.json) {
        nlohmann::json rows = nlohmann::json::array();
        for (const inventory::StackRow& row : saved.rows) {
            rows.push_back({{"count", row.count},
                            {"od_mm", row.od.millimetres()},
                            {"thickness_mm", row.thickness.millimetres()}});
        }
        const nlohmann::json root = {{"job", verb.job},
                                     {"changed", saved.changed},
                                     {"discs", std::move(rows)},
                                     {"valve_changes", saved.valve_changes}};
        streams.out << root.dump(2) << '\n';
        return exit_done;
    }
    for (const std::string& change : saved.valve_changes) streams.out << "Valve: " << change << " before\n";
    streams.out << verb.job << (saved.changed ? " has a target of " : " had that target already, of ")
                << saved.rows.size() << (saved.rows.size() == 1 ? " row.\n" : " rows.\n");
    return exit_done;
}

} // namespace shimledger::command
