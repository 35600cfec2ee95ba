// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/known_names.h"
#include "app/command/master_fields_typed.h"
#include "app/command/verb_support.h"

#include "app/services/job_intake.h"
#include "inventory/component_model.h"
#include "inventory/job_book.h"
#include "inventory/job_end.h"
#include "inventory/model_flow.h"

#include <fmt/format.h>

#include <algorithm>
#include <functional>

namespace shimledger::command {

namespace {

using inventory::ComponentModel;
using inventory::JobValve;
using inventory::ModelConsumable;

void mustBeKnown(inventory::ShopFile& shop, const MasterVerb& verb) {
    mustBeModel(shop, verb.model, "'model list' names all");
}

/// Reads the model, has it changed, and tells what that was.
int change(const MasterVerb& verb, Streams& streams,
           const std::function<void(inventory::ShopFile&, ComponentModel&)>& how) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeKnown(shop, verb);
    return changeAndTell<inventory::ComponentModels>(shop, verb.model, streams,
                                                     [&](ComponentModel& model) { how(shop, model); });
}

void takeLength(Length& length, const char* option, const std::string& typed) {
    if (!typed.empty()) length = millimetresOf(option, typed);
}

void takeLength(std::optional<Length>& length, const char* option, const std::string& typed) {
    if (typed.empty()) return;
    length.reset();
    if (typed != "none") length = millimetresOf(option, typed);
}

/// What is not typed of a valve that is there stays.
void takeValve(JobValve& valve, const MasterVerb& verb, bool is_new) {
    if (is_new) {
        const std::pair<const char*, const std::string*> needed[] = {{"--clamp-od", &verb.clamp_od},
                                                                     {"--port-inner", &verb.port_inner},
                                                                     {"--port-outer", &verb.port_outer},
                                                                     {"--shim-id", &verb.shim_id}};
        for (const auto& [option, typed] : needed) {
            if (typed->empty())
                throw InputError(std::string(option) + " is missing: valve '" + valve.name.substr(0, 60) +
                                 "' is new to the model");
        }
    }
    takeLength(valve.clamp_od, "--clamp-od", verb.clamp_od);
    takeLength(valve.port_inner_diameter, "--port-inner", verb.port_inner);
    takeLength(valve.port_outer_diameter, "--port-outer", verb.port_outer);
    takeLength(valve.shim_id, "--shim-id", verb.shim_id);
    takeLength(valve.seat_diameter, "--seat", verb.seat);
    takeLength(valve.preload, "--preload", verb.preload);
}

nlohmann::json lengthJson(const std::optional<Length>& length) {
    return length ? nlohmann::json(length->millimetres()) : nlohmann::json(nullptr);
}

nlohmann::json flowJson(const inventory::ModelFlow& flow) {
    nlohmann::json object;
    addFields(object, flow);
    return object;
}

/// "piston diameter 30.0 mm, shaft diameter 12.0 mm"
std::string flowText(const inventory::ModelFlow& flow) {
    std::string told;
    for (const inventory::MasterField<inventory::ModelFlow>& field :
         inventory::fieldsOf<inventory::ModelFlow>()) {
        const std::string text = field.text(flow);
        if (text.empty()) continue;
        told += (told.empty() ? "" : ", ") + std::string(field.name) + " " + text;
    }
    return told;
}

/// Reads what is known of the valve's flow, has it changed, and tells what that was.
int changeFlow(const MasterVerb& verb, Streams& streams,
               const std::function<void(inventory::ModelFlow&)>& how) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeKnown(shop, verb);
    std::vector<inventory::MasterChange> changes;
    shop.atomically([&] {
        std::vector<std::string> names;
        for (const JobValve& valve : inventory::ComponentModels(shop).get(verb.model).valves)
            names.push_back(valve.name);
        mustBeAmong("valve of the model", verb.valve, names, "'model valve set' gives it one");
        inventory::ModelFlows flows(shop);
        inventory::ModelFlow flow = flows.get(verb.model, verb.valve);
        how(flow);
        changes = flows.update(flow);
    });
    tellChanges(changes, streams.out);
    return exit_done;
}

nlohmann::json modelJson(const ComponentModel& model, const inventory::ModelFlows& flows) {
    nlohmann::json object{{"model", model.code}};
    addFields(object, model);
    object["wear_parts"] = nlohmann::json::array();
    for (const ModelConsumable& one : model.consumables) {
        object["wear_parts"].push_back(
            {{"part", one.part}, {"quantity_per_leg", one.quantity_per_leg}, {"note", one.note}});
    }
    object["valves"] = nlohmann::json::array();
    for (const JobValve& valve : model.valves) {
        object["valves"].push_back({{"valve", valve.name},
                                    {"clamp_od_mm", valve.clamp_od.millimetres()},
                                    {"port_inner_diameter_mm", valve.port_inner_diameter.millimetres()},
                                    {"port_outer_diameter_mm", valve.port_outer_diameter.millimetres()},
                                    {"shim_id_mm", valve.shim_id.millimetres()},
                                    {"seat_diameter_mm", lengthJson(valve.seat_diameter)},
                                    {"preload_mm", lengthJson(valve.preload)},
                                    {"flow", flowJson(flows.get(model.code, valve.name))}});
    }
    return object;
}

} // namespace

int runModelAdd(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    ComponentModel model;
    model.code = verb.model;
    takeValues(model, verb);
    const auto legs = verb.values.find("legs");
    if (legs == verb.values.end() || legs->second.empty()) model.legs = services::usualLegs(model.kind);
    inventory::ComponentModels(shop).add(model);
    streams.out << fmt::format("Model {} is there: {} of {} leg{}.\n", model.code,
                               inventory::componentKindName(model.kind), model.legs,
                               model.legs == 1 ? "" : "s");
    return exit_done;
}

int runModelChange(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeKnown(shop, verb);
    return changeFieldsAndTell<inventory::ComponentModels>(shop, verb.model, verb, streams);
}

int runModelRetire(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeKnown(shop, verb);
    tellChanges({inventory::ComponentModels(shop).retire(verb.model)}, streams.out);
    for (const auto& job : inventory::JobBook(shop).list()) {
        const bool ended = hasEnded(job.status);
        if (!ended && job.model == verb.model)
            streams.out << "  Job " << job.code << " is still open, and goes on.\n";
    }
    return exit_done;
}

int runModelBringBack(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeKnown(shop, verb);
    tellChanges({inventory::ComponentModels(shop).bringBack(verb.model)}, streams.out);
    return exit_done;
}

int runModelList(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    const auto models = inventory::ComponentModels(shop).list(verb.retired ? inventory::Retired::included
                                                                           : inventory::Retired::leftOut);
    const inventory::ModelFlows flows(shop);
    if (verb.json) {
        nlohmann::json root = nlohmann::json::array();
        for (const ComponentModel& model : models) root.push_back(modelJson(model, flows));
        streams.out << root.dump(2) << '\n';
        return exit_done;
    }
    for (const ComponentModel& model : models) {
        streams.out << fmt::format(
            "{:<16} {}, {} leg{}  {}{}\n", model.code, inventory::componentKindName(model.kind), model.legs,
            model.legs == 1 ? "" : "s", model.description, model.retired ? ", retired" : "");
        for (const JobValve& valve : model.valves) {
            streams.out << "  valve " << valve.name << ": " << inventory::valveText(valve) << '\n';
            const std::string flow = flowText(flows.get(model.code, valve.name));
            if (!flow.empty()) streams.out << "    " << flow << '\n';
        }
        for (const ModelConsumable& one : model.consumables) {
            streams.out << fmt::format("  {} x {} per leg{}\n", one.quantity_per_leg, one.part,
                                       one.note.empty() ? "" : " (" + one.note + ")");
        }
    }
    if (models.empty()) streams.out << "There are none.\n";
    return exit_done;
}

int runModelValveSet(const MasterVerb& verb, Streams& streams) {
    return change(verb, streams, [&](inventory::ShopFile&, ComponentModel& model) {
        const auto known = std::find_if(model.valves.begin(), model.valves.end(),
                                        [&](const JobValve& valve) { return valve.name == verb.valve; });
        JobValve valve = known == model.valves.end() ? JobValve() : *known;
        valve.name = verb.valve;
        takeValve(valve, verb, known == model.valves.end());
        if (known == model.valves.end()) {
            model.valves.push_back(valve);
        } else {
            *known = valve;
        }
    });
}

int runModelValveDrop(const MasterVerb& verb, Streams& streams) {
    return change(verb, streams, [&](inventory::ShopFile&, ComponentModel& model) {
        std::vector<std::string> names;
        for (const JobValve& valve : model.valves) names.push_back(valve.name);
        mustBeAmong("valve of the model", verb.valve, names, "'model list' names all");
        std::erase_if(model.valves, [&](const JobValve& valve) { return valve.name == verb.valve; });
    });
}

int runModelFlowSet(const MasterVerb& verb, Streams& streams) {
    return changeFlow(verb, streams, [&](inventory::ModelFlow& flow) {
        if (!takeValues(flow, verb)) throw nothingTyped<inventory::ModelFlow>();
    });
}

int runModelFlowDrop(const MasterVerb& verb, Streams& streams) {
    return changeFlow(verb, streams, [](inventory::ModelFlow& flow) { flow = {flow.model, flow.valve}; });
}

int runModelWearPartSet(const MasterVerb& verb, Streams& streams) {
    return change(verb, streams, [&](inventory::ShopFile& shop, ComponentModel& model) {
        mustBePart(shop, verb.part);
        const auto known = std::find_if(model.consumables.begin(), model.consumables.end(),
                                        [&](const ModelConsumable& one) { return one.part == verb.part; });
        ModelConsumable& one = known == model.consumables.end()
                                   ? model.consumables.emplace_back(ModelConsumable{verb.part, 1, ""})
                                   : *known;
        if (verb.quantity) one.quantity_per_leg = *verb.quantity;
        if (!verb.note.empty()) one.note = verb.note == "none" ? std::string() : verb.note;
    });
}

int runModelWearPartDrop(const MasterVerb& verb, Streams& streams) {
    return change(verb, streams, [&](inventory::ShopFile& shop, ComponentModel& model) {
        mustBePart(shop, verb.part);
        std::vector<std::string> codes;
        for (const ModelConsumable& one : model.consumables) codes.push_back(one.part);
        mustBeAmong("wear part of the model", verb.part, codes, "'model list' names all");
        std::erase_if(model.consumables, [&](const ModelConsumable& one) { return one.part == verb.part; });
    });
}

} // namespace shimledger::command
