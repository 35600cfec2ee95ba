// SPDX-License-Identifier: GPL-3.0-or-later
// The valves of a job's component.
#include "app/command/job_verbs.h"
#include "app/command/known_names.h"
#include "app/command/verb_support.h"

#include "app/services/component_valves.h"
#include "inventory/component_model.h"
#include "inventory/job_book.h"
#include "inventory/job_valves.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <ostream>

namespace shimledger::command {

namespace {

void list(inventory::ShopFile& shop, const std::string& job, bool json, Streams& streams) {
    const std::vector<inventory::Job> valves = inventory::componentValves(shop, job);
    const int legs = inventory::componentLegs(valves);
    nlohmann::json root = nlohmann::json::array();
    for (const inventory::Job& valve : valves) {
        if (json) {
            root.push_back({{"job", valve.code},
                            {"valve", valve.valve.name},
                            {"first_leg", valve.first_leg},
                            {"last_leg", lastLeg(valve)},
                            {"status", inventory::jobStatusName(valve.status)}});
            continue;
        }
        streams.out << fmt::format("{:<24} {:<28} {}\n", valve.code, services::valveText(valve, legs),
                                   inventory::jobStatusName(valve.status));
    }
    if (json) streams.out << root.dump(2) << '\n';
}

} // namespace

int runJobValveList(const JobValveVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    list(shop, verb.job, verb.json, streams);
    return exit_done;
}

int runJobValveAdd(const JobValveVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    if (verb.all_valves) {
        if (!verb.valve.empty())
            throw InputError(
                "--all-valves adds those of the model: leave --valve out, or add that one alone");
        const std::vector<std::string> added = services::addModelValves(shop, verb.job);
        if (added.empty()) {
            throw InputError(fmt::format("model '{}' has no valve that the component of job '{}' has not",
                                         inventory::JobBook(shop).get(verb.job).model, verb.job));
        }
        list(shop, verb.job, verb.json, streams);
        return exit_done;
    }
    const std::vector<inventory::Job> valves = inventory::componentValves(shop, verb.job);
    inventory::JobValve valve;
    for (const inventory::JobValve& of_model :
         inventory::ComponentModels(shop).get(valves.front().model).valves) {
        if (of_model.name == verb.valve) valve = of_model;
    }
    takeValve(verb, valve);
    if (valve.name.empty()) throw InputError("say which valve: --valve NAME, or --all-valves of the model");
    const int first_leg = verb.first_leg.value_or(1);
    const int last_leg = std::max(first_leg, inventory::componentLegs(valves));
    const std::string code = inventory::addJobValve(shop, verb.job, valve, first_leg,
                                                    verb.legs.value_or(last_leg - first_leg + 1));
    if (verb.json) {
        list(shop, code, true, streams);
        return exit_done;
    }
    streams.out << fmt::format("{} is open: the {} valve of the component of {}.\n", code, valve.name,
                               verb.job);
    return exit_done;
}

int runJobValveSplit(const JobValveVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    const std::string code = inventory::splitJobLegs(shop, verb.job, verb.from_leg);
    if (!verb.json)
        streams.out << fmt::format("{} has a stack of its own now, as {} had it.\n", code, verb.job);
    list(shop, verb.job, verb.json, streams);
    return exit_done;
}

int runJobValveJoin(const JobValveVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    mustBeJob(shop, verb.to);
    inventory::joinJob(shop, verb.job, verb.to);
    list(shop, verb.to, verb.json, streams);
    return exit_done;
}

int runJobValveSeparate(const JobValveVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    inventory::separateJob(shop, verb.job);
    if (verb.json) {
        list(shop, verb.job, true, streams);
        return exit_done;
    }
    streams.out << verb.job << " is a job by itself.\n";
    return exit_done;
}

} // namespace shimledger::command
